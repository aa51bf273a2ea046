// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "vision/flat_tray.h"
#include "vision/seedlings.h"

namespace braird::vision {

/// The counter's chances of seeds, weighed with how much of each cell has the colour of seeds.
///
/// Seeds of one sowing are alike in colour and size. Which of the tray's colours are theirs shows in those
/// whose share of a cell goes with the expected count; of these k seeds cover about k times as much as one.
/// So a tray tells how large its own seeds are, which the counter, used to all kinds, only guesses.
///
/// `flat`: laid flat at kSeedsCell px a cell. `chances`: one entry a cell of `lattice`, row by row; returned
/// as they are where all cells are expected to hold the same, or no colour goes with the counts.
std::vector<CountChances> weighed_by_seed_area(const FlatTray& flat, const Lattice& lattice,
                                               std::vector<CountChances> chances);

}  // namespace braird::vision
