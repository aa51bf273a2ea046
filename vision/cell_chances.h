// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "calibration/census.h"
#include "vision/seedlings.h"

namespace braird::vision {

/// The cell with what was counted in it: nothing where that is likelier than not, else the likeliest of the
/// other counts; its chances, and whether a person should look.
Cell with_chances(Cell cell, const CountChances& chances);

}  // namespace braird::vision
