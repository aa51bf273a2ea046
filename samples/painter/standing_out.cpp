// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/standing_out.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace braird::painter {
namespace {

constexpr int patch_px = 16;          ///< what fills less is lost among crumbs and noise
constexpr float least_unrest = 1.5f;  ///< grey levels: rounding, and what a screen shows

struct Footprint {
  int px = 0;
  cv::Vec3d energy;
  cv::Rect box;
};

/// Brightness, green against purple, blue against red; each of unit length.
cv::Vec3f opponent(const cv::Vec3f& bgr) {
  return {(bgr[0] + bgr[1] + bgr[2]) * 0.57735f, (2 * bgr[1] - bgr[0] - bgr[2]) * 0.40825f,
          (bgr[0] - bgr[2]) * 0.70711f};
}

cv::Mat3f opponent(const cv::Mat3b& picture) {
  cv::Mat3f colours;
  picture.convertTo(colours, CV_32F);
  for (cv::Vec3f& c : colours) c = opponent(c);
  return colours;
}

double against(const Footprint& body, const cv::Mat3f& ground) {
  const int reach = std::max(8, std::max(body.box.width, body.box.height));
  const cv::Rect about(body.box.x - reach, body.box.y - reach, body.box.width + 2 * reach,
                       body.box.height + 2 * reach);
  cv::Scalar mean, unrest;
  cv::meanStdDev(ground(about & cv::Rect(cv::Point(), ground.size())), mean, unrest);
  double sum = 0;
  for (int axis = 0; axis < 3; ++axis) {
    const double u = std::max<double>(least_unrest, unrest[axis]);
    sum += body.energy[axis] / body.px / (u * u);
  }
  const double patches = static_cast<double>(body.px) / patch_px;
  return std::sqrt(sum) * (patches < 1 ? patches : std::sqrt(patches));
}

}  // namespace

std::vector<double> standing_out(const cv::Mat3b& seen, const cv::Mat3b& bare, const cv::Mat1w& front,
                                 std::size_t bodies) {
  const cv::Mat3f with = opponent(seen), without = opponent(bare);
  std::vector<Footprint> all(bodies);
  for (int y = 0; y < front.rows; ++y)
    for (int x = 0; x < front.cols; ++x) {
      if (front(y, x) == 0) continue;
      Footprint& body = all[front(y, x) - 1];
      const cv::Vec3f change = with(y, x) - without(y, x);
      for (int axis = 0; axis < 3; ++axis) body.energy[axis] += change[axis] * change[axis];
      body.box = body.px++ == 0 ? cv::Rect(x, y, 1, 1) : body.box | cv::Rect(x, y, 1, 1);
    }
  cv::Mat3f ground;
  cv::blur(without, ground, {3, 3});
  std::vector<double> ratios;
  for (const Footprint& body : all) ratios.push_back(body.px > 0 ? against(body, ground) : 0);
  return ratios;
}

}  // namespace braird::painter
