// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/scene.h"

namespace braird::painter {

/// A pinhole with a lens in front. Its frame: right, down, forward.
struct Camera {
  cv::Vec3d at;  ///< mm
  cv::Vec3d right, down, forward;
  double focal_px = 1000;
  cv::Point2d middle;
  double half_diagonal = 1;
  double k1 = 0;
};

Camera camera_of(const CameraPose& pose);

/// What of the photo isn't padding.
cv::Rect frame_of(const CameraPose& pose);

struct Projected {
  cv::Point2d px;
  double depth = 0;  ///< mm along the axis
};

Projected project(const Camera& camera, const cv::Vec3d& world);
/// Direction of the ray through a photo point, one mm deep along the axis.
cv::Vec3d ray(const Camera& camera, cv::Point2d px);
/// Where that ray meets the plane at height z.
cv::Point2d on_plane(const Camera& camera, cv::Point2d px, double z);

}  // namespace braird::painter
