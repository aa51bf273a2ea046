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

#include "calibration/cells.h"

namespace braird {

/// What trials of the counter against the truth gave. Renew them with tests/calibration/counter_trial.py
/// whenever the counter's networks change.
///
/// - networks of 2,389 scenes: κ 1.30 for seedlings and 1.44 for gaps (187 trays); the intervals of
///   `braird rate` held what stood in 95.7 and 94.7 % of them, and in 97.2 and 94.4 % of 108 other trays
/// - networks of 16,191 scenes: κ 1.03 and 1.02 (178 trays); held in 96.1 and 97.2 %, and in 98.1 and 98.1 %
///   of the 108
///
/// - the wider networks: κ 1.53 and 1.42 (158 trays, 240 scenes from seed 7100000, painted as large as their
///   cells need); held in 93.7 and 95.6 %. Allowing for errors both ways at 0 and 1, as before, changes that
///   by one tray
///
/// κ stays at 1.4 until photos of real seedlings are measured: what painted scenes lack can only add.
struct CounterTrial {
  double kappa = 1.4;  ///< net error over a tray, in mean cell errors, so that 1.96 κ holds 95 % of trays
  int trays = 187;     ///< painted (seeds 7100000 to 7100239, not trained on); crop, seeds, corners told
};
inline constexpr CounterTrial kCounterTrial;

/// One standard error of the seedlings per seed that the counter's doubt leaves, over all these cells; 0 for
/// hard counts. Throws std::invalid_argument if nothing was sown or an `off` is negative.
double counter_error(std::span<const CellReading> cells, const CounterTrial& trial = kCounterTrial);

}  // namespace braird
