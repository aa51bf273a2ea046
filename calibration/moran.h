// SPDX-License-Identifier: Apache-2.0
// Are cells that touch alike, when each holds a number instead of a label?
//
// Moran's I is near 0 where numbers lie anywhere, towards 1 where high ones lie beside high ones, below 0
// where neighbours differ. It serves seedlings a cell, days to emergence, heights; for empty or not, join
// counts (join_counts.h) say the same. Moran 1950, Biometrika 37:17-23; moments: Cliff & Ord 1981, Spatial
// Processes.
#pragma once

#include <span>
#include <utility>
#include <vector>

namespace braird {

/// How much one cell counts as the other's neighbour; from `from` to `to`, places in a list, weight ≥ 0.
struct Neighbour {
  int from = 0;
  int to = 0;
  double weight = 1;
};

/// Both ways of each pair of `joins` (join_counts.h), every one with weight 1.
std::vector<Neighbour> neighbours_of(std::span<const std::pair<int, int>> joins);

/// The same with each cell's weights scaled to sum to 1.
std::vector<Neighbour> row_standardised(std::vector<Neighbour> neighbours);

struct MoranIndex {
  double index = 0;
  double expected = 0;           ///< −1 / (n − 1), where numbers lie anywhere
  double shuffled_variance = 0;  ///< over all orders of these very numbers
  double normal_variance = 0;    ///< if the numbers were normal
  double z = 0;                  ///< standard errors above the expected, shuffled
  double normal_z = 0;
};

/// Throws std::invalid_argument for fewer than 4 numbers, numbers all alike, a place outside the list, or no
/// neighbours.
MoranIndex moran_index(std::span<const double> values, std::span<const Neighbour> neighbours);

}  // namespace braird
