// SPDX-License-Identifier: Apache-2.0
// How far off may the photo counter be over a whole tray?
//
// Its chances say for each cell how far off the likeliest number may be (CellReading::off). Were cells
// independent, those errors would nearly cancel over a tray. They don't: light, blur and the size of the
// seedlings are the photo's, so a photo is counted too high or too low throughout, by an amount that differs
// from photo to photo. Measured on painted trays with exact truth, that net error grows with what the cells
// themselves own up to: its size is κ times their mean `off`, for dull photos and clear ones (free fits of a
// power give 0.5 to 1.3). So an interval makes room for κ · mean(off) as one standard error, the same for all
// cells of a photo.
//
// All photos of a lot are taken to err the same way, since they share camera, light and crop; the room does
// not shrink with their number. Only cells checked by hand take it away (checked_cells.h).
#pragma once

#include <span>
#include <vector>

#include "calibration/cells.h"

namespace braird {

/// Net error over a tray, in mean cell errors, so that 1.96 κ holds 95 % of trays. From trials of the counter
/// against painted trays that it was not trained on; renew them with tests/calibration/counter_trial.py
/// whenever the counter's networks change. For seedlings and for gaps they gave, the latest first,
///
///   0.88 and 0.88   the present networks, 97 trays at the phone's size; with 1.4 the intervals of
///                   `braird rate` hold what stands in 92.8 and 95.9 %
///   0.90 and 0.85, 0.84 and 0.86, 0.98 and 0.95, 1.21 and 1.13   those before
///   1.53 and 1.42   158 trays, painted as large as their cells need; held in 93.7 and 95.6 %
///   1.03 and 1.02   178 trays; held in 96.1 and 97.2 %
///   1.30 and 1.44   187 trays; held in 95.7 and 94.7 %
///
/// It stays at 1.4 until photos of real seedlings are measured: what painted scenes lack can only add.
inline constexpr double kKappa = 1.4;

/// How many gaps more or fewer than were seen there may be (95 %); 0 for hand counts.
double doubted_gaps(std::span<const std::vector<CellReading>> trays);

}  // namespace braird
