// SPDX-License-Identifier: Apache-2.0
// What are a lot's rates once some of its cells were counted by hand? The photo counter's rates, moved by its
// mean error in the checked cells and widened by that error's own uncertainty (power_tuned_mean in
// counter_error.h, cells as units). A share's limits are Wilson's for a sample that is as sure, with
// Student's t and one miscounted seedling more than was seen; symmetrical ones held in as few as 89 % of
// trays (tests/calibration/coverage.md). The counter's own doubt (counter_doubt.h) is then not needed. The
// checked cells must be drawn at random, not picked where the counter looked unsure.
#pragma once

#include <istream>
#include <string>
#include <vector>

#include "calibration/interval.h"
#include "calibration/lot.h"

namespace braird {

/// Adds hand counts (lot,tray,row,col,count, as in hand_counts.h) to the photographed trays of that name;
/// `lot` is not looked at. Throws std::invalid_argument with file and fault for a bad row, or for a tray or
/// cell that no photo shows.
void add_checked(std::vector<Lot>& lots, std::istream& in, const std::string& file);

/// Needs two checked cells at least, and the same number of seeds in all cells. Throws std::invalid_argument
/// otherwise.
Estimate checked_germination_rate(const Lot& lot);

/// Needs two checked cells at least. Throws std::invalid_argument otherwise.
Estimate checked_gap_rate(const Lot& lot);

/// One standard error of the corrected mean number of seedlings a cell. Likewise.
double checked_mean_error(const Lot& lot);

}  // namespace braird
