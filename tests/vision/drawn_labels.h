// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>
#include <random>
#include <string>

namespace braird::test {

/// How a label stands in a photo.
struct LabelPose {
  cv::Point2d centre;    ///< photo px
  double module_px = 4;  ///< the least length of a module's side after tilting
  double turn_deg = 0;   ///< about the line of sight
  double tilt_deg = 0;   ///< out of the photo's plane, about an axis that `tilt_axis_deg` turns
  double tilt_axis_deg = 0;
  double blur_px = 0;  ///< sigma
  double light = 1;    ///< of the paper, 0..1
  double noise = 2;    ///< sigma in grey levels
};

/// The photo with a printed card of that text in it.
cv::Mat with_label(const cv::Mat& bgr, const std::string& text, const LabelPose& pose, std::mt19937& random);

}  // namespace braird::test
