// SPDX-License-Identifier: Apache-2.0
// Does a tray end along the sides of its lattice, or does it go on there, unseen or not?
//
//   row 0   +-------------------+   A strip of the photo along a side: 16 px a cell,
//           |   o   o   o   o   |   from 1.75 cells within the line along the side
//           |   o   o   o   o   |   to 1.25 cells beyond it,
//   row 28  |- - - - - - - - - -|   from a cell before the side's first to one after its last,
//           |                   |   but 12 cells long at least.
//   row 47  +-------------------+
#pragma once

#include <array>
#include <opencv2/core.hpp>

#include "vision/geometry.h"
#include "vision/trace.h"

namespace braird::vision {

/// The strip along a side (0: the first row, then clockwise: last column, last row, first column), columns
/// going towards higher columns or rows of the tray: 8-bit; blue, green, red and 255 where the photo shows
/// something; elsewhere all are 0. `bgr`: the photo, 8-bit; `frame`: its part that shows something; `back`:
/// rows by which the line lies within the side.
cv::Mat strip_along(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice, int side,
                    int back = 0);

/// For each side the chance that the tray ends there, 0..1.
std::array<double, 4> chances_of_ends(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice,
                                      const Trace& trace = {});

/// The chance that one tray ends and another begins where `before` rows (or, if `upright`, columns) of a
/// lattice end: the lesser of those seen from either side, or the first if that is less than `enough`.
double chance_of_ends_at(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice, bool upright,
                         int before, double enough = 0);

}  // namespace braird::vision
