// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "vision/seedlings.h"

namespace braird::vision {

/// What the counter made of a tray's seeds. One that sees nothing either finds the whole tray empty, or gives
/// every cell the chances that sowing has by nature.
struct SeedSight {
  double empty = 0;  ///< share of cells whose likeliest count is 0
  double doubt = 0;  ///< mean entropy of a cell's chances, nats
  double learned =
      0;  ///< share of the doubt about any cell of the tray that looking at the cell took away, 0..1
  double miscounted = 0;  ///< how far off counts are expected to be, as a share of the seeds expected there
};

/// Seeds that are expected to be miscounted by more aren't told: skips and doubles are some in a hundred, and
/// a counter off by more than one seed in ten says nothing of them. Seeds, not cells: with four seeds a cell
/// one more or less is soon said, yet empty cells are plain. Of 43 cells missed in painted trays of one seed
/// that lie between 0.1 and 0.15 half were found.
constexpr double kMostMiscounted = 0.1;

/// `chances`: one entry a cell, at least one cell.
SeedSight sight_of(const std::vector<CountChances>& chances);

/// Can the seeds of this tray be told from the medium? Empty if so; else why not, and what to do.
std::string why_seeds_hide(const std::vector<CountChances>& chances);

/// Can they be told, and are they counted well enough to judge a sower by? Likewise.
std::string why_seeds_uncounted(const std::vector<CountChances>& chances);

/// Does the photo plainly show another number of seeds a cell than was told? `untold`: the counter's chances
/// when nothing is told, since it heeds what is; `most`: up to so many it learned to count. Likewise.
std::string why_other_drop(const std::vector<CountChances>& untold, int told, int most);

/// Do cells look so much alike (`SeedsSeen::alike`) that the tray is empty? Empty if not; else what to do.
std::string why_all_alike(double alike);

/// Are seedlings up in so large a share of cells that no seeds can be left to count? Likewise.
std::string why_seedlings(double up);

}  // namespace braird::vision
