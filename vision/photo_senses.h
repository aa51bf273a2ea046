// SPDX-License-Identifier: Apache-2.0
// What the photo itself can be asked where its maps leave something unclear.
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <vector>

#include "vision/hints.h"
#include "vision/lattice_maps.h"
#include "vision/trace.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// Where within a lattice one tray may end and another begin, or nothing.
struct SeamWithin {
  bool upright;     ///< between columns
  int before;       ///< how many rows or columns lie before it, perhaps none
  int behind;       ///< the first one behind it: two rims may take the place of one
  double chance;    ///< 0..1
  double ends = 0;  ///< the chance that a tray ends there on either side by itself; 0 where that wasn't asked
};

/// A nearer look at a tray's place in the maps and as much beside it (see closer.h); none if the photo shows
/// no more.
using CloserLook =
    std::function<std::optional<LatticeMaps>(const LatticeMaps&, const TrayQuad&, double beside)>;

/// All of them, in the photo's pixels.
using SeamsIn = std::function<std::vector<SeamWithin>(const Lattice& photo_lattice)>;

/// The chances, 0..1, that a tray ends at the sides of a lattice (0: the first row, then clockwise).
using EndsOf = std::function<std::array<double, 4>(const Lattice& photo_lattice)>;

/// The whole photo looked at anew, with more care.
using SecondLook = std::function<LatticeMaps()>;

struct PhotoSenses {
  cv::Rect frame = {};  ///< the part of the photo that shows something
  CloserLook look_closer = {};
  SecondLook look_again = {};
  SeamsIn seams_in = {};
  EndsOf ends_of = {};
};

/// Those of a photo, 8-bit, whose maps have been read; maps and hints must last as long as they are asked.
PhotoSenses senses_of(const cv::Mat& bgr, const LatticeMaps& maps, const Hints& hints, const Trace& trace);

}  // namespace braird::vision
