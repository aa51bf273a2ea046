// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/view.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "samples/painter/raster.h"

namespace braird::painter {
namespace {

constexpr int fine = 2;  ///< sub-pixels along a side

/// Goes down a ray until it meets the relief. Returns the height.
class Descent {
 public:
  Descent(const Camera& camera, const Relief& relief) : camera_(camera), relief_(relief) {
    double low, high;
    cv::minMaxLoc(relief.height, &low, &high);
    low_ = low, high_ = high;
    peaks_ = cv::Mat1f(relief.height.rows / block + 1, relief.height.cols / block + 1, -1e3f);
    for (int y = 0; y < relief.height.rows; ++y)
      for (int x = 0; x < relief.height.cols; ++x) {
        float& peak = peaks_(y / block, x / block);
        peak = std::max(peak, relief.height(y, x));
      }
    cv::dilate(peaks_, peaks_, cv::Mat());
  }

  double meet(const cv::Vec3d& ray, cv::Point2d& px) const {
    const double gx = ray[0] / ray[2], gy = ray[1] / ray[2];
    const cv::Point2d at_zero =
        relief_px(relief_, {camera_.at[0] - gx * camera_.at[2], camera_.at[1] - gy * camera_.at[2]});
    const cv::Point2d per_mm = cv::Point2d(gx, gy) * relief_.px_per_mm;
    const double step = std::clamp(1 / std::max(1e-6, std::hypot(per_mm.x, per_mm.y)), 0.05, 6.0);
    double z = high_, over = 0;
    while (true) {
      px = at_zero + per_mm * z;
      const double gap = z - ground(px);
      if (gap <= 0 || z < low_) {
        z += over > 0 && gap < 0 ? step * gap / (gap - over) : 0;  // between the last two steps
        px = at_zero + per_mm * z;
        return z;
      }
      const double free = z - peak(px);
      if (free > step) {
        z -= std::min(free, 0.5 * block * step);
        over = 0;
        continue;
      }
      over = gap;
      z -= std::min(step, std::max(gap, 0.3 * step));
    }
  }

 private:
  static constexpr int block = 16;  ///< relief px

  /// The highest ground within a block's reach of this place.
  double peak(cv::Point2d px) const {
    const int x = std::clamp(cvFloor(px.x) / block, 0, peaks_.cols - 1);
    const int y = std::clamp(cvFloor(px.y) / block, 0, peaks_.rows - 1);
    return peaks_(y, x);
  }

  double ground(cv::Point2d px) const {
    const int x = std::clamp(cvFloor(px.x), 0, relief_.height.cols - 1);
    const int y = std::clamp(cvFloor(px.y), 0, relief_.height.rows - 1);
    return relief_.height(y, x);
  }

  const Camera& camera_;
  const Relief& relief_;
  cv::Mat1f peaks_;
  double low_ = 0, high_ = 0;
};

struct Buffers {
  cv::Mat1f depth;
  cv::Mat1i owner, touched;  ///< index + 1 of the body in front, and of the last that came by
  cv::Mat3f light;
};

Sighting draw(Buffers& buffers, const Camera& camera, const Body& body, int owner) {
  std::vector<Projected> corners;
  for (const Vertex& vertex : body.vertices) corners.push_back(project(camera, vertex.at));
  int whole = 0;
  for (const auto& [i, j, k] : body.triangles) {
    const cv::Point2f p[] = {corners[i].px * fine, corners[j].px * fine, corners[k].px * fine};
    each_pixel(p, buffers.owner.size(), [&](int x, int y, float a, float b, float c) {
      if (buffers.touched(y, x) != owner) buffers.touched(y, x) = owner, ++whole;
      const float depth =
          static_cast<float>(a * corners[i].depth + b * corners[j].depth + c * corners[k].depth);
      if (depth > buffers.depth(y, x)) return;
      buffers.depth(y, x) = depth;
      buffers.owner(y, x) = owner;
      buffers.light(y, x) = body.vertices[i].seen * a + body.vertices[j].seen * b + body.vertices[k].seen * c;
    });
  }
  return {whole / double(fine * fine), 0};
}

}  // namespace

View look(const Camera& camera, cv::Size size, const Relief& relief, const cv::Mat3f& light) {
  View view{cv::Mat3f(size), cv::Mat1f(size), cv::Mat1b(size)};
  const Descent descent(camera, relief);
  cv::Mat2f places(size);
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      const cv::Vec3d along = ray(camera, {x + 0.5, y + 0.5});
      cv::Point2d px;
      const double z = descent.meet(along, px);
      view.depth(y, x) = static_cast<float>((z - camera.at[2]) / along[2]);
      places(y, x) = {static_cast<float>(px.x - 0.5), static_cast<float>(px.y - 0.5)};
      const cv::Point spot(std::clamp(cvFloor(px.x), 0, relief.kind.cols - 1),
                           std::clamp(cvFloor(px.y), 0, relief.kind.rows - 1));
      view.kind(y, x) = relief.kind(spot);
    }
  cv::remap(light, view.light, places, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  return view;
}

std::vector<Sighting> put_bodies(View& view, cv::Mat1f& counted, const Camera& camera,
                                 const std::vector<Body>& bodies) {
  const cv::Size size = view.light.size(), subs = size * fine;
  Buffers buffers{cv::Mat1f(), cv::Mat1i(subs, 0), cv::Mat1i(subs, 0), cv::Mat3f(subs)};
  cv::resize(view.depth + 0.4f, buffers.depth, subs, 0, 0, cv::INTER_NEAREST);
  std::vector<Sighting> sightings;
  for (std::size_t i = 0; i < bodies.size(); ++i)
    sightings.push_back(draw(buffers, camera, bodies[i], static_cast<int>(i) + 1));
  counted.create(size);
  constexpr float share = 1.f / (fine * fine);
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      counted(y, x) = 0;
      Colour sum(0, 0, 0);
      int owned = 0;
      for (int sub = 0; sub < fine * fine; ++sub) {
        const cv::Point at(x * fine + sub % fine, y * fine + sub / fine);
        const int owner = buffers.owner(at);
        if (owner == 0) continue;
        ++owned;
        sum += buffers.light(at);
        sightings[owner - 1].seen_px += share;
        if (bodies[owner - 1].id > 0) counted(y, x) += share;
      }
      if (owned > 0) view.light(y, x) = view.light(y, x) * (1 - owned * share) + sum * share;
    }
  return sightings;
}

}  // namespace braird::painter
