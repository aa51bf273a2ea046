// SPDX-License-Identifier: Apache-2.0
// What the photo itself can be asked where its maps leave something unclear.
#pragma once

#include <array>
#include <functional>
#include <optional>

#include "vision/lattice_maps.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// A line within a lattice, between two rows or two columns of its cells.
struct InnerLine {
  bool upright;  ///< between columns
  int before;    ///< how many rows or columns come before it
};

/// A nearer look at a tray's place in the maps and as much beside it (see closer.h); none if the photo shows
/// no more.
using CloserLook =
    std::function<std::optional<LatticeMaps>(const LatticeMaps&, const TrayQuad&, double beside)>;

/// The chance, 0..1, that one tray ends and another begins at a line of a lattice, in the photo's pixels.
using EndsAt = std::function<double(const Lattice& photo_lattice, const InnerLine& line)>;

/// The chances, 0..1, that a tray ends at the sides of a lattice (0: the first row, then clockwise).
using EndsOf = std::function<std::array<double, 4>(const Lattice& photo_lattice)>;

/// The whole photo looked at anew, with more care.
using SecondLook = std::function<LatticeMaps()>;

struct PhotoSenses {
  CloserLook look_closer = {};
  SecondLook look_again = {};
  EndsAt ends_at = {};
  EndsOf ends_of = {};
};

}  // namespace braird::vision
