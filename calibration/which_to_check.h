// SPDX-License-Identifier: Apache-2.0
// Which cells should a person look at next, so that this tray's rate gets sure fastest?
//
// The rate of the tray is a sum over cells, and a checked cell's part is certain; so each check takes exactly
// its cell's variance away, and the cells with the largest variance go first. No other choice of as many
// cells leaves a narrower interval. Cells chosen so say nothing of the counter's error elsewhere: put their
// true counts into the readings (`with_checked`), and keep them out of counter_error.h, which needs cells
// drawn at random.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "calibration/cells.h"

namespace braird {

/// At most `many` cells, as places in the list, the most useful first; those that the counter is sure of are
/// never named. Throws std::invalid_argument if a spread is negative.
std::vector<std::size_t> cells_to_check(std::span<const CellReading> cells, std::size_t many);

/// A cell that was looked at.
struct HandCount {
  std::size_t cell = 0;  ///< place in the list
  int seedlings = 0;
};

/// The readings with hand counts in place of the counter's. Throws std::invalid_argument for a place outside
/// the list or a negative count.
std::vector<CellReading> with_checked(std::vector<CellReading> cells, std::span<const HandCount> checked);

}  // namespace braird
