// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/body.h"
#include "samples/painter/camera.h"
#include "samples/painter/relief.h"

namespace braird::painter {

/// What the camera sees of the relief, pixel by pixel.
struct View {
  cv::Mat3f light;
  cv::Mat1f depth;  ///< mm along the axis
  cv::Mat1b kind;
  cv::Mat1w front;  ///< index + 1 of the body that fills most of the pixel, else 0
};

View look(const Camera& camera, cv::Size size, const Relief& relief, const cv::Mat3f& light);

/// How many pixels each body fills by itself, and how many of them are seen.
struct Sighting {
  double whole_px = 0;
  double seen_px = 0;
};

/// Puts the bodies into the view, and the share of counted ones in each pixel into `counted`. Only what lies
/// in the frame is seen.
std::vector<Sighting> put_bodies(View& view, cv::Mat1f& counted, const Camera& camera,
                                 const std::vector<Body>& bodies, cv::Rect frame);

}  // namespace braird::painter
