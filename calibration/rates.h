// SPDX-License-Identifier: Apache-2.0
// What share of the seeds came up, and what share of the cells stayed empty?
//
// Seeds in one cell fail together (one dry cell, one deep hole), so a tray of 264 cells with 4 seeds is worth fewer
// than 1,056 independent seeds. Cells are therefore the unit: the spread between cells gives the design effect, the
// sample is shrunk by it, and a Wilson interval is drawn for the shrunken sample.
#pragma once

#include <span>
#include <vector>

#include "calibration/census.h"
#include "calibration/interval.h"

namespace braird {

/// What was sown in a cell and what stood in it. `seedlings` may exceed `seeds` (beet and chard clusters, doubles).
struct CellCount {
  int seedlings = 0;
  int seeds = 0;
};

/// The cells of a counted tray, each with the same number of seeds. Throws std::invalid_argument unless seeds ≥ 1.
std::vector<CellCount> cell_counts(const Tray& tray, int seeds_per_cell);

/// How many times more does the rate vary between cells than independent seeds would? 1 where cells carry no extra
/// spread, at most the largest number of seeds in a cell where whole cells fail together. Kish 1965, Survey Sampling.
double design_effect(std::span<const CellCount> cells);

/// How many seedlings came up per seed sown? Interval: Wilson with the effective number of seeds and a t quantile
/// for the estimated spread; where cells hold more seedlings than seeds (clusters), a ratio of cell totals with
/// Student's t, which may exceed 1. Throws std::invalid_argument without cells, or for negative seedlings or
/// seeds, no seeds at all, or confidence outside (0, 1).
Estimate germination_rate(std::span<const CellCount> cells, double confidence = 0.95);

/// What share of the cells stayed empty? Wilson over cells that had a seed. Throws like germination_rate.
Estimate gap_rate(std::span<const CellCount> cells, double confidence = 0.95);

}  // namespace braird
