// SPDX-License-Identifier: Apache-2.0
// Looked at forty rows and columns: which surprises remain, once it is counted how often one looked?
// Adjusted p-values, in the order given; one below 0.05 is a find at 5 %. p-values outside [0, 1] throw
// std::invalid_argument.
#pragma once

#include <span>
#include <vector>

namespace braird {

/// Keeps the chance of even one false find at the level. Holm 1979, Scand J Stat 6:65-70.
std::vector<double> holm(std::span<const double> p_values);

/// Keeps the expected share of false finds among the finds at the level. Benjamini & Hochberg 1995, JRSS B
/// 57:289-300.
std::vector<double> false_discovery_rate(std::span<const double> p_values);

/// A tray's cells of which some are empty, and a part of them (a row, the edge).
struct Part {
  int cells = 0;  ///< in the whole tray
  int empty = 0;  ///< in the whole tray
  int part_cells = 0;
  int part_empty = 0;
};

/// Chance that this part, or any part as large, holds at least so many (at most so many) of the empty cells
/// if they lie anywhere: the hypergeometric tail of Fisher's exact test. Throws std::invalid_argument for a
/// part larger than its tray.
double chance_of_more(const Part& part);
double chance_of_fewer(const Part& part);

}  // namespace braird
