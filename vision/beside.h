// SPDX-License-Identifier: Apache-2.0
// A tray counted with another photo of it in view, from another day: a small hook that one photo hardly shows
// stands where the later one shows a plant.
#pragma once

#include <vector>

#include "calibration/census.h"
#include "vision/geometry.h"
#include "vision/hints.h"
#include "vision/photo.h"
#include "vision/seedlings.h"

namespace braird::vision {

/// Which of two photos was taken first?
enum class Other { earlier, later };

/// A photo at hand and where its tray stands in it.
struct TrayInPhoto {
  const Photo& photo;
  const Tray& tray;  ///< its census, whole; centres in the photo's own pixels, at whatever scale it was read
};

/// A lattice laid through the centres of a census's cells, in pixels of the photo as it was read. Throws
/// std::invalid_argument with one clause where no lattice meets them all within 5 % of the pitch.
Lattice lattice_through(const TrayInPhoto& seen);

/// How many seedlings stand in each cell of `one`, seen beside the same tray in another photo? One entry a
/// cell, row by row. Both trays are numbered alike; of `hints`, habit and seeds sown are told. Throws
/// std::invalid_argument with one clause if the layouts differ or a lattice can't be laid through the cells.
std::vector<CountChances> count_beside(const TrayInPhoto& one, const TrayInPhoto& other, Other when,
                                       const Hints& hints);

/// The tray with these chances (one entry a cell) instead of what was counted in it.
Tray with_counts(Tray tray, const std::vector<CountChances>& chances);

}  // namespace braird::vision
