// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <opencv2/core.hpp>

namespace braird::painter {

/// Calls `spot(x, y, a, b, c)` for every pixel whose middle lies in the triangle, with its barycentric
/// weights.
template <class Spot>
void each_pixel(const cv::Point2f (&p)[3], cv::Size size, Spot spot) {
  const float area = (p[1] - p[0]).cross(p[2] - p[0]);
  if (std::abs(area) < 1e-9f) return;
  const auto [x_low, x_high] = std::minmax({p[0].x, p[1].x, p[2].x});
  const auto [y_low, y_high] = std::minmax({p[0].y, p[1].y, p[2].y});
  if (!(x_high > -1 && y_high > -1 && x_low < size.width && y_low < size.height)) return;
  const int x0 = std::max(0, cvCeil(x_low - 0.5f)), x1 = std::min(size.width - 1, cvFloor(x_high - 0.5f));
  const int y0 = std::max(0, cvCeil(y_low - 0.5f)), y1 = std::min(size.height - 1, cvFloor(y_high - 0.5f));
  for (int y = y0; y <= y1; ++y)
    for (int x = x0; x <= x1; ++x) {
      const cv::Point2f q(x + 0.5f, y + 0.5f);
      const float a = (p[1] - q).cross(p[2] - q) / area, b = (p[2] - q).cross(p[0] - q) / area, c = 1 - a - b;
      if (a >= 0 && b >= 0 && c >= 0) spot(x, y, a, b, c);
    }
}

}  // namespace braird::painter
