// SPDX-License-Identifier: Apache-2.0
// Trays that touch so closely that their regions are one, told apart by the photo itself.
#pragma once

#include <vector>

#include "vision/hints.h"
#include "vision/lattice_maps.h"
#include "vision/photo_senses.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// One of several trays that touch.
struct ButtedTray {
  TrayQuad quad;
  Lattice cells;  ///< its part of the lattice through all; `fit` is the chance that both are right
};

/// The trays on both sides of the line where one most likely ends and the next begins; none if the lattice
/// `seen` in the quad, in the photo's pixels, is likelier a single tray. Stated layouts tell which lines are
/// asked about; else, since trays that touch mostly are of one make, those that halve the lattice or cut off
/// a third; all of them where the frame cuts the quad.
std::vector<ButtedTray> butted_trays(const LatticeMaps& maps, const TrayQuad& quad, const Lattice& seen,
                                     const Hints& hints, const EndsAt& ends_at);

}  // namespace braird::vision
