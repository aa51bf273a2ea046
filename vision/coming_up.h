// SPDX-License-Identifier: Apache-2.0
// A tray that was still coming up when its photo was taken, counted once more: by a network fitted to such
// trays, which tells hooks from litter where the one for trays of any age hesitates. Whether a photo shows
// such a tray is known once a later one is there.
#pragma once

#include <vector>

#include "calibration/census.h"
#include "vision/geometry.h"
#include "vision/hints.h"
#include "vision/photo.h"
#include "vision/seedlings.h"

namespace braird::vision {

/// A photo at hand and where its tray stands in it.
struct TrayInPhoto {
  const Photo& photo;
  const Tray& tray;  ///< its census, whole; centres in the photo's own pixels, at whatever scale it was read
};

/// A lattice laid through the centres of a census's cells, in pixels of the photo as it was read. Throws
/// std::invalid_argument with one clause where no lattice meets them all within 5 % of the pitch.
Lattice lattice_through(const TrayInPhoto& seen);

/// How many seedlings stand in each cell of a tray that comes up? One entry a cell, row by row. Of `hints`,
/// habit and seeds sown are told. Throws like lattice_through.
std::vector<CountChances> count_coming_up(const TrayInPhoto& seen, const Hints& hints);

/// The tray with these chances (one entry a cell) instead of what was counted in it.
Tray with_counts(Tray tray, const std::vector<CountChances>& chances);

}  // namespace braird::vision
