// SPDX-License-Identifier: Apache-2.0
// A tray that was counted before, in its photo: found again by its census, without a search.
#pragma once

#include "calibration/census.h"
#include "vision/geometry.h"
#include "vision/photo.h"

namespace braird::vision {

/// A photo at hand and where its tray stands in it.
struct TrayInPhoto {
  const Photo& photo;
  const Tray& tray;  ///< its census, whole; centres in the photo's own pixels, at whatever scale it was read
};

/// A lattice laid through the centres of a census's cells, in pixels of the photo as it was read. Throws
/// std::invalid_argument with one clause where no lattice meets them all within 5 % of the pitch.
Lattice lattice_through(const TrayInPhoto& seen);

}  // namespace braird::vision
