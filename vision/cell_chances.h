// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>

#include "calibration/census.h"
#include "vision/seedlings.h"

namespace braird::vision {

/// What is said of a cell with these chances, of one count or more: nothing where that is likelier than not,
/// else the likeliest other count.
int count_of(const CountChances& chances);

/// The chances of none, one and several.
std::array<double, 3> state_chances(const CountChances& chances);

/// The cell with what was counted in it, its chances, and whether a person should look.
Cell with_chances(Cell cell, const CountChances& chances);

}  // namespace braird::vision
