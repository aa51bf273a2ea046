// SPDX-License-Identifier: Apache-2.0
// How far off may the photo counter be over a whole tray?
//
// Its chances say for each cell how far off the likeliest number may be (CellReading::off). Were cells
// independent, those errors would nearly cancel over a tray. They don't: light, blur and the size of the
// seedlings are the photo's, so a photo is counted too high or too low throughout, by an amount that differs
// from photo to photo. Measured on painted trays with exact truth, that net error grows in proportion to what
// the cells themselves own up to: its size is κ times their mean `off`, whatever the crop, the seeds a cell
// or the quality of the photo (exponent 1.09 in a free fit). So an interval makes room for κ · mean(off) as
// one standard error, the same for all cells of a photo.
//
// All photos of a lot are taken to err the same way, since they share camera, light and crop; the room does
// not shrink with their number. Only cells checked by hand take it away (checked_cells.h).
#pragma once

#include <span>

#include "calibration/cells.h"

namespace braird {

/// What a trial of the counter against the truth gave. Renew it with tests/calibration/counter_trial.py
/// whenever the counter's networks change.
struct CounterTrial {
  double kappa = 1.4;  ///< net error over a tray, in mean cell errors, so that 1.96 κ holds 95 % of trays
  int trays =
      197;  ///< painted, told crop, seeds and corners; seeds 900000-59 and 7100000-239, not trained on
};
inline constexpr CounterTrial kCounterTrial;

/// One standard error of the seedlings per seed that the counter's doubt leaves, over all these cells; 0 for
/// hard counts. Throws std::invalid_argument if nothing was sown or an `off` is negative.
double counter_error(std::span<const CellReading> cells, const CounterTrial& trial = kCounterTrial);

}  // namespace braird
