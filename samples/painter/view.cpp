// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/view.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "samples/painter/raster.h"

namespace braird::painter {
namespace {

/// Where a pixel is sampled: each in a row and a column of its own, so that thin blades don't break into
/// beads.
const cv::Point2f samples[] = {{0.0625f, 0.4375f}, {0.1875f, 0.8125f}, {0.3125f, 0.1875f},
                               {0.4375f, 0.5625f}, {0.5625f, 0.9375f}, {0.6875f, 0.3125f},
                               {0.8125f, 0.6875f}, {0.9375f, 0.0625f}};
constexpr int sample_count = 8;
constexpr float share = 1.f / sample_count;
constexpr float slack_mm = 0.4f;  ///< a body this far under the relief still shows

/// Goes down rays until they meet the relief.
class Descent {
 public:
  explicit Descent(const Relief& relief) : relief_(relief) {
    double low, high;
    cv::minMaxLoc(relief.height, &low, &high);
    low_ = static_cast<float>(low), high_ = static_cast<float>(high);
    peaks_ = cv::Mat1f(relief.height.rows / block + 1, relief.height.cols / block + 1, -1e3f);
    for (int y = 0; y < relief.height.rows; ++y)
      for (int x = 0; x < relief.height.cols; ++x) {
        float& peak = peaks_(y / block, x / block);
        peak = std::max(peak, relief.height(y, x));
      }
    cv::dilate(peaks_, peaks_, cv::Mat());
  }

  /// The height where a ray meets the relief: it is at `at_zero` (relief px) at height 0 and moves `per_mm`
  /// upwards.
  float meet(cv::Point2f at_zero, cv::Point2f per_mm) const {
    const float step = std::clamp(1 / std::max(1e-6f, std::sqrt(per_mm.dot(per_mm))), 0.05f, 6.f);
    float z = high_, over = 0;
    while (true) {
      const int x = std::clamp(cvFloor(at_zero.x + per_mm.x * z), 0, relief_.height.cols - 1);
      const int y = std::clamp(cvFloor(at_zero.y + per_mm.y * z), 0, relief_.height.rows - 1);
      const float free = z - peaks_(y / block, x / block);
      if (free > step) {
        z -= std::min(free, 0.5f * block * step);
        over = 0;
        continue;
      }
      const float gap = z - relief_.height(y, x);
      if (gap <= 0 || z < low_)
        return over > 0 && gap < 0 ? z + last_step(step, over) * gap / (gap - over) : z;
      over = gap;
      z -= last_step(step, gap);
    }
  }

 private:
  static constexpr int block = 16;  ///< relief px

  static float last_step(float step, float gap) { return std::min(step, std::max(gap, 0.3f * step)); }

  const Relief& relief_;
  cv::Mat1f peaks_;  ///< the highest ground within a block's reach
  float low_ = 0, high_ = 0;
};

/// One of the samples of every pixel.
struct Plane {
  cv::Mat1w owner, touched;  ///< index + 1 of the body in front, and of the last that came by
  cv::Mat1f depth;           ///< set where there is an owner
  cv::Mat3f light;
};

/// Draws a body into one plane. Returns how many samples it covers by itself.
int draw(Plane& plane, const View& view, const Body& body, const std::vector<Projected>& corners,
         cv::Point2f sample, ushort owner) {
  int whole = 0;
  const cv::Point2f shift = cv::Point2f(0.5f, 0.5f) - sample;
  for (const auto& [i, j, k] : body.triangles) {
    const Projected &ci = corners[i], &cj = corners[j], &ck = corners[k];
    const cv::Point2f p[] = {cv::Point2f(ci.px) + shift, cv::Point2f(cj.px) + shift,
                             cv::Point2f(ck.px) + shift};
    each_pixel(p, view.light.size(), [&](int x, int y, float a, float b, float c) {
      if (plane.touched(y, x) != owner) plane.touched(y, x) = owner, ++whole;
      const float depth = static_cast<float>(a * ci.depth + b * cj.depth + c * ck.depth);
      if (depth > (plane.owner(y, x) > 0 ? plane.depth(y, x) : view.depth(y, x) + slack_mm)) return;
      plane.depth(y, x) = depth;
      plane.owner(y, x) = owner;
      plane.light(y, x) = body.vertices[i].seen * a + body.vertices[j].seen * b + body.vertices[k].seen * c;
    });
  }
  return whole;
}

}  // namespace

View look(const Camera& camera, cv::Size size, const Relief& relief, const cv::Mat3f& light) {
  View view{cv::Mat3f(size), cv::Mat1f(size), cv::Mat1b(size), cv::Mat1w(size, 0)};
  const Descent descent(relief);
  cv::Mat2f places(size);
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      const cv::Vec3d along = ray(camera, {x + 0.5, y + 0.5});
      const cv::Point2d slope(along[0] / along[2], along[1] / along[2]);
      const cv::Point2f at_zero =
          relief_px(relief, cv::Point2d(camera.at[0], camera.at[1]) - slope * camera.at[2]);
      const cv::Point2f per_mm = slope * relief.px_per_mm;
      const float z = descent.meet(at_zero, per_mm);
      const cv::Point2f px = at_zero + per_mm * z;
      view.depth(y, x) = static_cast<float>((z - camera.at[2]) / along[2]);
      places(y, x) = {px.x - 0.5f, px.y - 0.5f};
      view.kind(y, x) = relief.kind(std::clamp(cvFloor(px.y), 0, relief.kind.rows - 1),
                                    std::clamp(cvFloor(px.x), 0, relief.kind.cols - 1));
    }
  cv::remap(light, view.light, places, cv::noArray(), cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  return view;
}

std::vector<Sighting> put_bodies(View& view, cv::Mat1f& counted, const Camera& camera,
                                 const std::vector<Body>& bodies, cv::Rect frame) {
  CV_Assert(bodies.size() < 65535);
  const cv::Size size = view.light.size();
  std::vector<Plane> planes;
  for (int n = 0; n < sample_count; ++n)
    planes.push_back({cv::Mat1w(size, 0), cv::Mat1w(size, 0), cv::Mat1f(size), cv::Mat3f(size)});
  std::vector<Sighting> sightings(bodies.size());
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    std::vector<Projected> corners;
    for (const Vertex& vertex : bodies[i].vertices) corners.push_back(project(camera, vertex.at));
    for (int n = 0; n < sample_count; ++n)
      sightings[i].whole_px +=
          share * draw(planes[n], view, bodies[i], corners, samples[n], static_cast<ushort>(i + 1));
  }
  counted.create(size);
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      counted(y, x) = 0;
      Colour sum(0, 0, 0);
      float covered = 0;
      int most = 0;
      for (const Plane& plane : planes) {
        const int owner = plane.owner(y, x);
        if (owner == 0) continue;
        covered += share;
        sum += share * plane.light(y, x);
        if (frame.contains({x, y})) sightings[owner - 1].seen_px += share;
        if (bodies[owner - 1].id > 0) counted(y, x) += share;
        const auto same = std::count_if(planes.begin(), planes.end(),
                                        [&](const Plane& other) { return other.owner(y, x) == owner; });
        if (same > most) most = static_cast<int>(same), view.front(y, x) = static_cast<ushort>(owner);
      }
      if (covered > 0) view.light(y, x) = view.light(y, x) * (1 - covered) + sum;
    }
  return sightings;
}

}  // namespace braird::painter
