// SPDX-License-Identifier: Apache-2.0
// The four sides of an outline, as straight as a lens can make them.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/geometry.h"

namespace braird::vision {

struct Line {
  cv::Point2d point, direction;  ///< the latter of length 1
};

/// The line through two points or more: least squares of their distances, but less of those beyond 1.345 px
/// (Huber 1964, "Robust estimation of a location parameter", by weighting anew). Much quicker than
/// cv::fitLine, which begins anew twenty times.
Line line_through(const std::vector<cv::Point2f>& points);

struct StraightSides {
  std::array<cv::Point2d, 4> corners;  ///< before the lens, clockwise
  Lens lens;
};

/// Those of an outline seen through a lens that bends as it likes, else like this one; none if it hasn't four
/// sides.
std::optional<StraightSides> straight_sides(const std::vector<cv::Point2f>& outline, Lens lens);

}  // namespace braird::vision
