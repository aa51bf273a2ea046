// SPDX-License-Identifier: Apache-2.0
// Was only a part of the tray sown? Seed runs out in the middle of a tray, and what was left unsown would pass for
// gaps.
#pragma once

#include <optional>

#include "calibration/census.h"

namespace braird {

/// A block of whole rows and columns, from 0, the last included.
struct SownPart {
  int first_row = 0, last_row = 0;
  int first_col = 0, last_col = 0;
};

/// The part in which something came up (or, in a census of seeds, lies), where two or more lines from a side on hold
/// next to nothing, more than gaps as frequent as in the rest would explain (once in a thousand trays), and at least
/// half of the rest holds something; nothing otherwise. At least two rows and two columns. Common practice, no source.
/// `tray.cells`: as many as its layout has.
std::optional<SownPart> sown_part(const Tray& tray);

}  // namespace braird
