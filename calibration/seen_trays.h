// SPDX-License-Identifier: Apache-2.0
// A lot's counted trays as the belief takes them (belief.h), with the counter's error taken off where cells
// were checked by hand.
//
// A checked cell holds what the person saw. Each other cell of the tray holds what the checked cells of the
// same count turned out to hold, in those shares: the likeliest truth given both samples (Tenenbein 1972,
// Technometrics 14:187-202, for more than two classes), but that one more checked cell of each count is taken
// to have been read rightly, so that a count hardly checked is not turned over by one cell. As in
// checked_cells.h, the checked cells must be drawn at random, and trays without any stay as counted.
#pragma once

#include <vector>

#include "calibration/belief.h"
#include "calibration/lot.h"

namespace braird {

/// The cells of a lot in one list, those checked by hand as the person counted them.
std::vector<CellCount> counted_cells(const Lot& lot);

/// The trays in order, each split by the seeds that its cells were sown with (nearly always one number);
/// whole cells.
std::vector<SeenTray> seen_trays(const Lot& lot);

/// How much does a cell tell of the seed, against one counted by hand? 1 where nothing was checked, or all
/// checks agree; else the variance of the mean over cells if all were counted by hand, in that of the
/// corrected mean. Above 0, at most 1.
double worth_of_a_cell(const Lot& lot);

/// How far the number of cells with `low` seedlings or more is in doubt: a variance. From the counter's own
/// doubt, or from how often it was wrong about it in checked cells of the same count.
double count_variance(const Lot& lot, int low);

}  // namespace braird
