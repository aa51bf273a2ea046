// SPDX-License-Identifier: Apache-2.0
// Trays that touch so closely that their regions are one, told apart by the photo itself.
#pragma once

#include <functional>
#include <vector>

#include "vision/hints.h"
#include "vision/lattice_maps.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// A line within a lattice, between two rows or two columns of its cells.
struct InnerLine {
  bool upright;  ///< between columns
  int before;    ///< how many rows or columns come before it
};

/// The chance, 0..1, that one tray ends and another begins at a line of a lattice, in the photo's pixels.
using EndsAt = std::function<double(const Lattice& photo_lattice, const InnerLine& line)>;

/// The quads on both sides of the line where one tray most likely ends and the next begins; none if the
/// lattice `seen` in the quad, in the photo's pixels, is likelier a single tray. Stated layouts tell which
/// lines are asked about; else, since trays that touch mostly are of one make, those that halve the lattice
/// or cut off a third; all of them where the frame cuts the quad.
std::vector<TrayQuad> butted_parts(const LatticeMaps& maps, const TrayQuad& quad, const Lattice& seen,
                                   const Hints& hints, const EndsAt& ends_at);

}  // namespace braird::vision
