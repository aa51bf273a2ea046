// SPDX-License-Identifier: Apache-2.0
// A tray that was still coming up when its photo was taken, counted once more: by a network fitted to such
// trays, which tells hooks from litter where the one for trays of any age hesitates. Whether a photo shows
// such a tray is known once a later one is there.
#pragma once

#include <vector>

#include "vision/hints.h"
#include "vision/seedlings.h"
#include "vision/tray_in_photo.h"

namespace braird::vision {

/// How many seedlings stand in each cell of a tray that comes up? One entry a cell, row by row. Of `hints`,
/// habit and seeds sown are told. Throws like lattice_through.
std::vector<CountChances> count_coming_up(const TrayInPhoto& seen, const Hints& hints);

/// The tray with these chances (one entry a cell) instead of what was counted in it.
Tray with_counts(Tray tray, const std::vector<CountChances>& chances);

}  // namespace braird::vision
