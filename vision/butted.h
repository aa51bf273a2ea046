// SPDX-License-Identifier: Apache-2.0
// Trays that touch so closely that their regions are one, told apart by the photo itself.
#pragma once

#include <array>
#include <vector>

#include "vision/hints.h"
#include "vision/lattice_maps.h"
#include "vision/photo_senses.h"

namespace braird::vision {

/// One of several trays that touch.
struct ButtedTray {
  Lattice cells;  ///< its part of the lattice through all, in the photo's pixels; `fit` is the chance that
                  ///< both are right
  int side;       ///< of it that lies at the seam (0: the first row, then clockwise)
  double seam;    ///< the chance of that
};

/// Whether a lattice may reach over several trays: not where it is as stated, nor a clear one of the list of
/// trays; that is hardly several ones where two others of the list make it.
enum class Butted { no, hardly, perhaps };
Butted may_be_butted(const Lattice& seen, const Hints& hints);

/// The lines that leave trays of one make, one or both of which are in the list of trays.
std::vector<SeamWithin> lines_of_listed(const Lattice& seen, const Hints& hints);

/// The trays on both sides of the likeliest of the `seams` within the lattice `seen`, in the photo's pixels;
/// none if it is likelier a single tray. Of a stated layout, only seams that leave it on one side count.
/// `frame`: the photo's part that shows something.
std::vector<ButtedTray> butted_trays(const Lattice& seen, const std::vector<SeamWithin>& seams,
                                     const Hints& hints, const cv::Rect& frame);

/// Whether a side of a lattice lies along the tray's side at the seam.
bool ends_at_seam(const Lattice& lattice, int side, const ButtedTray& tray);

/// The maps as if there were nothing beyond its side at the seam.
LatticeMaps without_neighbour(const LatticeMaps& maps, const ButtedTray& tray);

}  // namespace braird::vision
