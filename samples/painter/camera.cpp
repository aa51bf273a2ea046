// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/camera.h"

#include <cmath>

namespace braird::painter {

Camera camera_of(const CameraPose& pose) {
  const double ct = std::cos(pose.tilt), st = std::sin(pose.tilt);
  const double ca = std::cos(pose.tilt_towards), sa = std::sin(pose.tilt_towards);
  const double cr = std::cos(pose.roll), sr = std::sin(pose.roll);
  Camera camera;
  camera.forward = {st * ca, st * sa, -ct};
  const cv::Vec3d along(ct * ca, ct * sa, st), across(-sa, ca, 0);
  const cv::Vec3d x = along * ca - across * sa, y = along * sa + across * ca;
  camera.right = x * cr - y * sr;
  camera.down = x * sr + y * cr;
  camera.at = cv::Vec3d(pose.aim_mm.x, pose.aim_mm.y, 0) - camera.forward * pose.distance_mm;
  camera.focal_px = std::max(pose.size.width, pose.size.height) / pose.width_over_focal;
  camera.middle = {pose.size.width / 2.0, pose.size.height / 2.0};
  camera.half_diagonal = std::hypot(camera.middle.x, camera.middle.y);
  camera.k1 = pose.k1;
  return camera;
}

cv::Rect frame_of(const CameraPose& pose) {
  const cv::Size size = pose.size;
  if (pose.pad_above) return {0, pose.pad_px, size.width, size.height - 2 * pose.pad_px};
  return {pose.pad_px, 0, size.width - 2 * pose.pad_px, size.height};
}

Projected project(const Camera& camera, const cv::Vec3d& world) {
  const cv::Vec3d offset = world - camera.at;
  const double depth = offset.dot(camera.forward);
  const cv::Point2d flat =
      cv::Point2d(offset.dot(camera.right), offset.dot(camera.down)) * (camera.focal_px / depth);
  const double r2 = flat.dot(flat) / (camera.half_diagonal * camera.half_diagonal);
  return {camera.middle + flat * (1 + camera.k1 * r2), depth};
}

cv::Vec3d ray(const Camera& camera, cv::Point2d px) {
  const cv::Point2d seen = px - camera.middle;
  cv::Point2d flat = seen;
  // Newton on the radius: r (1 + k1 r²) = seen; 4 steps leave less than 1e-6 px at |k1| = 0.1.
  const double want = std::hypot(seen.x, seen.y) / camera.half_diagonal;
  if (camera.k1 != 0 && want > 0) {
    double r = want;
    for (int step = 0; step < 4; ++step)
      r -= (r * (1 + camera.k1 * r * r) - want) / (1 + 3 * camera.k1 * r * r);
    flat = seen * (r / want);
  }
  return camera.forward + camera.right * (flat.x / camera.focal_px) +
         camera.down * (flat.y / camera.focal_px);
}

cv::Point2d on_plane(const Camera& camera, cv::Point2d px, double z) {
  const cv::Vec3d direction = ray(camera, px);
  const double t = (z - camera.at[2]) / direction[2];
  return {camera.at[0] + t * direction[0], camera.at[1] + t * direction[1]};
}

}  // namespace braird::painter
