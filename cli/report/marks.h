// SPDX-License-Identifier: Apache-2.0
// The marks that tell a cell's state, the same on the map and on the photo, and the same as in the marked
// photo of vision/marked_photo.h: a gap has a diamond, one seedling a bar below it, several a bar on either
// side, a cell to look at again a flag in the corner, one that was checked by hand a tick in the lower left.
#pragma once

#include <string>

#include "calibration/census.h"

namespace braird::report {

/// A cell's own axes: from its centre to its right and lower edge.
struct Frame {
  Point centre{}, right{10, 0}, down{0, 10};
};

/// Paths (SVG "d"), absolute, so that those of many cells make one path.
std::string gap_path(const Frame& cell);
std::string one_path(const Frame& cell);
std::string several_path(const Frame& cell);
std::string flag_path(const Frame& cell);
std::string hand_path(const Frame& cell);

/// <symbol>-like groups for the map, half a cell = 10 units: "w4" and "w6" (a cell with four or six sides),
/// "n0" … "n12" (a cell with so many seedlings), "look", "hand", "ring" (where the keyboard is), "set"
/// (changed by hand).
std::string mark_definitions();

inline constexpr int kMostDrawn = 12;  ///< seedlings; more look like these, and are said in words

}  // namespace braird::report
