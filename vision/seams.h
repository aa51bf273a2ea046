// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/tray_quad.h"

namespace braird::vision {

/// The unit square laid onto a quad's corners.
cv::Matx33d plane_of(const std::array<cv::Point2d, 4>& corners);

/// A dark line across a region, where one tray ends and the next one begins.
struct Seam {
  bool upright = false;       ///< runs from the quad's first side to its third
  double begin = 0, end = 0;  ///< share of the way across
  double depth = 0;           ///< by how much the region is darker there than on both sides, 0..1
};

/// The deepest one; depth 0 if there is none.
Seam deepest_seam(const cv::Mat& region, const TrayQuad& quad);

/// What lies before and behind a seam.
std::array<TrayQuad, 2> halves(const TrayQuad& quad, const Seam& seam);

/// The quad itself, or the quads of the trays that were butted together to make it. One that the frame cuts
/// is split only where most of the line is dark.
std::vector<TrayQuad> split_at_seams(const cv::Mat& region, const TrayQuad& quad);

}  // namespace braird::vision
