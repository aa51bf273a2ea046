// SPDX-License-Identifier: Apache-2.0
// What share of the seeds came up, and what share of the cells stayed empty?
//
// Seeds in one cell fail together (one dry cell, one deep hole), so a tray of 264 cells with 4 seeds is worth
// fewer than 1,056 independent seeds. Cells are therefore the unit: the spread between cells gives the design
// effect, the sample is shrunk by it (never stretched), and a Wilson interval with Student's t is drawn for
// the shrunken sample (Kish 1965, Survey Sampling, §8.2; in surveys: Franco et al. 2019, J Surv Stat Methodol
// 7:334-364).
//
// Why this one: over rates around 0.5 to 0.99, 1 to 6 seeds a cell, 20 to 300 cells and ρ from 0 to 0.15 its
// simulated coverage is between 0.93 and 0.97 at a nominal 0.95, in 99 % of the settings between 0.94 and
// 0.97 (at exact rates 0.916 to 0.988, since counts are whole); Wilson over seeds, as if each were alone,
// falls to 0.85 (tests/calibration/coverage.md). A beta-binomial likelihood with a flat prior on ρ did no
// better, and is slower and hard to explain.
//
// Chances of a photo counter are read as expected numbers, with the interval that a hand count of such a tray
// would have. If the counter leans one way, the rate leans with it: only checked cells can tell
// (counter_error.h).
//
// Where cells hold more seedlings than seeds (beet and chard clusters) the rate is a number per cluster and
// may exceed 1: mean over cells with Student's t.
//
// All throw std::invalid_argument without sown cells, for negative numbers, or unless 0 < confidence < 1.
#pragma once

#include <span>
#include <vector>

#include "calibration/cells.h"
#include "calibration/interval.h"

namespace braird {

/// How many times more does the rate vary between cells than independent seeds would make it? ≥ 1.
double design_effect(std::span<const CellCount> cells);
double design_effect(std::span<const CellReading> cells);

/// How many seedlings came up per seed sown?
Estimate germination_rate(std::span<const CellCount> cells, double confidence = 0.95);
Estimate germination_rate(std::span<const CellReading> cells, double confidence = 0.95);

/// The same where the sower skips and doubles: `seedlings` of each cell, over the mean of the drop.
Estimate germination_rate(std::span<const int> seedlings, const SeedDrop& drop, double confidence = 0.95);

/// What share of the cells stayed empty?
Estimate gap_rate(std::span<const CellCount> cells, double confidence = 0.95);
Estimate gap_rate(std::span<const CellReading> cells, double confidence = 0.95);

/// The rates of a lot over several trays. Where trays differ more than their cells explain, trays become the
/// unit, with few degrees of freedom and an honestly wide interval; else all cells are taken as one tray.
/// With fewer than about five trays whose own rates truly differ, the interval is somewhat too narrow
/// (coverage.md).
Estimate pooled_germination_rate(std::span<const std::vector<CellReading>> trays, double confidence = 0.95);
Estimate pooled_gap_rate(std::span<const std::vector<CellReading>> trays, double confidence = 0.95);

}  // namespace braird
