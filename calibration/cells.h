// SPDX-License-Identifier: Apache-2.0
// What do the statistics know of a cell? Either a hard count, or what the counter of a photo believes.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "calibration/census.h"

namespace braird {

/// What was sown in a cell (dish, replicate, plate: whatever fails together) and what stood in it.
/// `seedlings` may exceed `seeds`: beet and chard clusters, doubles. `seeds` 0 means not sown, or not looked
/// at.
struct CellCount {
  int seedlings = 0;
  int seeds = 0;
};

/// The same as the photo counter sees it. A hard count has `spread` 0 and `empty` 0 or 1.
struct CellReading {
  double seedlings = 0;  ///< expected number
  double spread = 0;     ///< variance of that number, given the photo
  double empty = 0;      ///< chance that the cell is empty
  double seeds = 0;      ///< sown, on average
};

/// How many seeds does the sower drop into a cell? `chance[k]` is that of k seeds; sums to 1.
struct SeedDrop {
  std::vector<double> chance;
};

/// The mean of a drop. Throws std::invalid_argument unless the chances are ≥ 0, sum to 1 (within 1e-6) and
/// some seed is dropped at all.
double mean_seeds(const SeedDrop& drop);

/// The cells of a counted tray, each with the same number of seeds. Throws std::invalid_argument unless seeds
/// ≥ 1.
std::vector<CellCount> cell_counts(const Tray& tray, int seeds_per_cell);

/// The counter's probability vectors as readings ("or more" taken as its lower end); a cell without a vector
/// is read as its hard count. Throws std::invalid_argument unless seeds_per_cell > 0.
std::vector<CellReading> cell_readings(const Tray& tray, double seeds_per_cell);
std::vector<CellReading> cell_readings(std::span<const CellCount> cells);

/// The cells with their surplus seedlings cut off, fit for likelihoods in which no cell holds more seedlings
/// than seeds; unsown cells are left out. Nothing where over 5 % of the sown cells hold more (then it is no
/// slip of sower or counter but seed clusters or a wrong seed number; the limit is common practice, no
/// source).
std::optional<std::vector<CellCount>> within_seeds(std::span<const CellCount> cells);

/// Throws std::invalid_argument with one sentence if a cell has negative numbers or seedlings without a seed,
/// or if no cell was sown.
void check(std::span<const CellCount> cells);

}  // namespace braird
