// SPDX-License-Identifier: Apache-2.0
// Cells counted by hand, from a list, for the photos that show them.
#pragma once

#include <istream>
#include <string>
#include <vector>

#include "calibration/lot.h"

namespace braird {

/// Adds hand counts (lot,tray,row,col,count, as in hand_counts.h) to the photographed trays of that name,
/// with or without its folder; `lot` is not looked at. Where they can't be a draw, being fewer than eight or
/// just the cells that the counter doubts most, they only stand in the counter's place, and a remark says so.
/// Throws std::invalid_argument with file and fault for a bad row, or for a tray or cell that no photo shows.
void add_checked(std::vector<Lot>& lots, std::istream& in, const std::string& file);

}  // namespace braird
