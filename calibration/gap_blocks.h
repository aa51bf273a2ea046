// SPDX-License-Identifier: Apache-2.0
// Is a poor row or column poor by itself, as a jammed hole or a skipped line leaves it, or is it a part of
// something wider?
//
// A patch that is dry, cold or eaten reaches over several rows and columns, and one of them may stand out. So
// the stories are weighed: one line, or several side by side with this one, has a gap rate of its own; or one
// block has that crosses this line; or both have, this line being one of all that it might be; or, of an
// outermost line, the whole edge has. A block holds two rows and two columns at least, more sown cells than
// one of them, and is neither as long nor as wide as the tray. Each story's likelihood is the mean over its
// lines or blocks, all alike before, and over all gap rates within and without (uniform; Jeffreys 1961,
// Theory of Probability, ch. 5), so that the many blocks have no advantage.
#pragma once

#include <optional>
#include <vector>

#include "calibration/gap_map.h"

namespace braird {

/// Rows and columns from the first to before the last, from 0.
struct Block {
  int top = 0, bottom = 0, left = 0, right = 0;
};

/// Does a patch or a poor edge tell more of the gaps than this line does (its sown cells, as places in the
/// row-by-row list, at least one)?
bool lies_in_more(const GapMap& gaps, const std::vector<int>& line);

/// Where do gaps lie most together? Nothing in trays of under three rows or columns.
std::optional<Block> poorest_block(const GapMap& gaps);

}  // namespace braird
