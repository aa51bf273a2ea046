// SPDX-License-Identifier: Apache-2.0
// What share of the seeds came up, and what share of the cells stayed empty?
//
// Seeds in one cell fail together (one dry cell, one deep hole), so a tray of 264 cells with 4 seeds is worth
// fewer than 1,056 independent seeds. Cells are therefore the unit: the spread between cells gives the design
// effect, the sample is shrunk by it (never stretched), and a Wilson interval with Student's t is drawn for
// the shrunken sample (Kish 1965, Survey Sampling, §8.2; the method is called modified Wilson in surveys:
// Franco et al. 2019, J Surv Stat Methodol 7:334-364). What the photo counter is unsure of is added by the
// rule for imputed data: spread within the readings, plus spread of the readings (Rubin 1987).
//
// Why this one: over rates of 0.5 to 0.99, 1 to 6 seeds a cell, 20 to 300 cells and ρ from 0 to 0.15 its
// simulated coverage was between 0.936 and 0.978 at a nominal 0.95 (the plain Wilson interval over seeds
// falls to about 0.83). A beta-binomial likelihood with a flat prior on ρ did no better, and is slower and
// hard to explain.
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

/// The rates of a lot over several trays. Where trays differ more than their cells explain (F test at 25 %,
/// the level for pooling of Bancroft 1964, Biometrics 20:427-442) trays become the unit, with few degrees of
/// freedom and an honestly wide interval; else all cells are taken as one tray.
Estimate pooled_germination_rate(std::span<const std::vector<CellReading>> trays, double confidence = 0.95);
Estimate pooled_gap_rate(std::span<const std::vector<CellReading>> trays, double confidence = 0.95);

}  // namespace braird
