// SPDX-License-Identifier: Apache-2.0
// Did the sower drop what it was set to, and which cells want a seed before the tray is covered?
//
// For a census of seeds. Shares are of the cells, since the seeds of one drop fail together; intervals are
// Wilson's (interval.h) and know nothing of the counter's own errors. `seeds` ≥ 1 is what the sower was set
// to; every function throws std::invalid_argument otherwise, and for a tray without cells.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "calibration/census.h"
#include "calibration/interval.h"

namespace braird {

/// Share of the cells whose number is expected to be wrong, by the counter's chances; 0 for hand counts.
double misnumbered(const Tray& tray);

/// Can cells with a seed more or less be told from the rest? Skips and doubles are some in a hundred cells: a
/// counter that is wrong in more of them says nothing of these. Missed cells are plain all the same.
bool single_seeds_told(const Tray& tray);

/// A cell that lacks seeds.
struct Mending {
  int row = 0;  ///< from 0
  int col = 0;  ///< from 0
  int lacks = 0;
  bool review = false;  ///< the counter was unsure: look before you add one
};

/// Row by row, every second of these rows backwards: the order in which a hand walks the tray. Only missed
/// cells unless `single_seeds_told`.
std::vector<Mending> cells_to_mend(const Tray& tray, int seeds);

struct DropShares {
  Estimate skips;    ///< cells with fewer seeds than set
  Estimate doubles;  ///< cells with more
  Estimate missed;   ///< cells with none
};

/// The shares of cells with fewer seeds than set, more, and none.
DropShares drop_shares(const Tray& tray, int seeds);

/// Rows, columns, edges, corners and runs without seeds beyond chance (findings.h), each as a sentence that
/// says what to check on the sower; the most telling first.
std::vector<std::string> sower_faults(const Tray& tray, int seeds);

/// Places that got no seed in tray after tray (a blocked hole of a sowing plate), each as a sentence; all
/// trays must lie the same way round. Trays of each shape are asked by themselves; nothing is said of fewer
/// than two.
std::vector<std::string> failed_holes(std::span<const Tray> trays, int seeds);

}  // namespace braird
