// SPDX-License-Identifier: Apache-2.0
// What share of the seeds came up, and what share of the cells stayed empty?
//
// Seeds in one cell fail together (one dry cell, one deep hole), so a tray of 264 cells with 4 seeds is worth
// fewer than 1,056 independent seeds. Cells are therefore the unit: the spread between cells gives the design
// effect, the sample is shrunk by it (never stretched), and a Wilson interval with Student's t is drawn for
// the shrunken sample (Kish 1965, Survey Sampling, §8.2; in surveys: Franco et al. 2019, J Surv Stat Methodol
// 7:334-364).
//
// Degrees of freedom say how well that spread is known. Where few cells hold all that failed, it is known
// from those c cells alone: the variance of so rare a count carries 2 c degrees (Satterthwaite 1946,
// Biometrics 2:110-114; a rare event's kurtosis is 1 / its share). Five more (chosen by simulated coverage,
// no source) keep two or three such cells from blowing the interval up; at most they are cells − 1. Where few
// came up, c are the cells with a seedling. Without excess spread it is Wilson's own interval: an effect that
// can't fall below 1 is caution enough.
//
// With one draw a cell (one seed, or a gap or none) no effect is estimated, so that caution is lacking, and
// Wilson's own interval holds 20 seeds around 0.99 in 0.932. There t has n + z² − 1 degrees: Wilson's
// interval lies around the share of n + z² draws, half of the z² up (Agresti & Coull 1998, Am Stat
// 52:119-126). Over all rates from 0.5 to 0.99 and 20 to 300 cells that holds in 0.943 to 0.970, worked out
// exactly (rates_test.cpp); surveys' cells − 1 would exceed that around 0.88 (0.971).
//
// Why this one: over rates around 0.5 to 0.99, 1 to 6 seeds a cell, 20 to 300 cells and ρ from 0 to 0.15 its
// coverage is between 0.94 and 0.97 at a nominal 0.95, means over ±0.5 on the logit scale (at exactly 0.99
// any rule holds 20 seeds in 0.983 or more, or 0.834 at most: counts are whole). Wilson over seeds, as if
// each were alone, falls to 0.85 (tests/calibration/coverage.md). A beta-binomial likelihood with priors on ρ
// did no better, and is slower and hard to explain. Nor did a prior on the design effect, nor degrees of
// freedom from the spread of the cells' squared errors, which is underrated when the effect is.
//
// A photo's counter errs too, and not cell by cell but over the whole photo. A reading's rate is that of the
// likeliest numbers, and its interval leaves room for what the counter doubts (counter_doubt.h), inside the
// same score equation: (seen − p)² ≤ q² (p (1 − p) / n + (κ off)²), with q smaller where the counter can err
// one way only (wilson_with_error in interval.h). With hard counts that room is 0.
//
// Where cells hold more seedlings than seeds (beet and chard clusters) the rate is a number per cluster and
// may exceed 1: mean over cells with Student's t. Single seeds come cut to their number (cells.h), so their
// rate never exceeds 1.
//
// All throw std::invalid_argument without sown cells, for negative numbers, or unless 0 < confidence < 1.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "calibration/cells.h"
#include "calibration/interval.h"

namespace braird {

/// How far apart do trays of one lot lie, before any was seen? With two or three trays their own spread tells
/// next to nothing; with many it drowns this.
struct BetweenTrays {
  double rho = 0.0124;  ///< correlation of seeds in one tray: that of plates of one treatment, fitted to
                        ///< Crowder 1978, Appl Stat 27:34-37 (standard error 0.0114)
  double weight = 2;    ///< degrees of freedom that the prior is worth: what that standard error allows
};
inline constexpr BetweenTrays kBetweenTrays;

/// How many times more does the rate vary between cells than independent seeds would make it? ≥ 1.
double design_effect(std::span<const CellCount> cells);
double design_effect(std::span<const CellReading> cells);

/// How many seedlings came up per seed sown?
Estimate germination_rate(std::span<const CellCount> cells, double confidence = 0.95);
Estimate germination_rate(std::span<const CellReading> cells, double confidence = 0.95);

/// What share of the cells stayed empty?
Estimate gap_rate(std::span<const CellCount> cells, double confidence = 0.95);
Estimate gap_rate(std::span<const CellReading> cells, double confidence = 0.95);

/// What hand counts tell of the counter (checked_cells.h), as a share of all that was sown: by how much it
/// counted too low, and one standard error of what is left of its doubt.
struct CounterCheck {
  double shift = 0, error = 0;
};

/// A cell as one draw that is a gap (1) or none (0), and the chance that this is wrong.
CellReading gap_reading(const CellReading& cell);

/// The rates of a lot over several trays: between trays of such a lot, not only in these. The spread of the
/// trays' own rates widens the interval, moderated by what trays usually do (BetweenTrays), with Student's t
/// for the degrees of freedom of both (a scaled-χ² prior on a variance: Smyth 2004, Stat Appl Genet Mol Biol
/// 3:3). Two trays can't tell how trays differ, so a lot of two that agree still gets a wider interval than
/// one tray does, whose interval is for that tray alone. Where trays truly differ by ρ of 0 to 0.02 the
/// interval holds as stated or more often; beyond, somewhat less (coverage.md). A single tray is that tray.
/// With a check the rate is moved by it, and its error takes the place of the counter's doubt.
Estimate pooled_germination_rate(std::span<const std::vector<CellReading>> trays,
                                 const std::optional<CounterCheck>& check = std::nullopt,
                                 double confidence = 0.95);
Estimate pooled_gap_rate(std::span<const std::vector<CellReading>> trays,
                         const std::optional<CounterCheck>& check = std::nullopt, double confidence = 0.95);

}  // namespace braird
