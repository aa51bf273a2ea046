// SPDX-License-Identifier: Apache-2.0
#include "samples/painter/body.h"

#include <algorithm>
#include <cmath>

namespace braird::painter {
namespace {

constexpr int rod_sides = 5;

cv::Vec3f direction(const std::vector<cv::Vec3f>& axis, std::size_t i) {
  const std::size_t before = i == 0 ? 0 : i - 1, after = std::min(i + 1, axis.size() - 1);
  return cv::normalize(axis[after] - axis[before]);
}

/// Two triangles for each mesh of a grid of vertices.
void weave(Body& body, int first, int rows, int columns, bool closed) {
  const int across = closed ? columns : columns - 1;
  for (int i = 0; i + 1 < rows; ++i)
    for (int j = 0; j < across; ++j) {
      const int next = (j + 1) % columns;
      const int a = first + i * columns + j, b = first + i * columns + next;
      body.triangles.push_back({a, b, a + columns});
      body.triangles.push_back({b, b + columns, a + columns});
    }
}

double outline_at(const Blade& blade, double t) {
  const double place = std::abs(2 * std::pow(t, blade.belly) - 1);
  const double full = std::pow(std::max(0.0, 1 - std::pow(place, blade.fullness)), 1 / blade.fullness);
  return full * (1 + blade.lobes * std::sin(t * 22) * std::min(1.0, 3 * (1 - t)));
}

}  // namespace

void grow_rod(Body& body, const Rod& rod) {
  const int first = static_cast<int>(body.vertices.size());
  const int rings = static_cast<int>(rod.axis.size());
  for (int i = 0; i < rings; ++i) {
    const cv::Vec3f along = direction(rod.axis, i);
    const cv::Vec3f help = std::abs(along[2]) < 0.8f ? cv::Vec3f(0, 0, 1) : cv::Vec3f(1, 0, 0);
    const cv::Vec3f side = cv::normalize(along.cross(help)), up = side.cross(along);
    const float share = i / std::max(1.f, rings - 1.f);
    for (int j = 0; j < rod_sides; ++j) {
      const float a = 6.2832f * j / rod_sides;
      const cv::Vec3f out = side * std::cos(a) + up * std::sin(a);
      body.vertices.push_back(
          {rod.axis[i] + out * rod.radius_mm[i], out, rod.foot * (1 - share) + rod.tip * share});
    }
  }
  weave(body, first, rings, rod_sides, true);
}

void grow_blade(Body& body, const Blade& blade) {
  constexpr int steps = 11, columns = 7;
  const int first = static_cast<int>(body.vertices.size());
  const float ch = static_cast<float>(std::cos(blade.heading)),
              sh = static_cast<float>(std::sin(blade.heading));
  const cv::Vec3f forward(ch, sh, 0), level(-sh, ch, 0), up(0, 0, 1);
  cv::Vec3f centre = blade.foot;
  // Closer steps where the outline curves most.
  const auto place = [](int step) {
    return (1 - std::cos(3.14159 * std::min(step, steps - 1) / (steps - 1))) / 2;
  };
  for (int i = 0; i < steps; ++i) {
    const double t = place(i), rise = blade.rise - blade.arch * t;
    const cv::Vec3f along =
        forward * static_cast<float>(std::cos(rise)) + up * static_cast<float>(std::sin(rise));
    const cv::Vec3f top =
        up * static_cast<float>(std::cos(rise)) - forward * static_cast<float>(std::sin(rise));
    const float cr = static_cast<float>(std::cos(blade.roll)), sr = static_cast<float>(std::sin(blade.roll));
    const cv::Vec3f side = level * cr + top * sr, normal = top * cr - level * sr;
    const double width = blade.half_width_mm * std::max(0.04, outline_at(blade, t));
    for (int j = 0; j < columns; ++j) {
      const double s = 2.0 * j / (columns - 1) - 1;
      const double dent = -blade.notch * blade.length_mm * std::exp(-s * s * 3) * t * t * t;
      const float lift = static_cast<float>(std::abs(s) * width * std::tan(blade.fold));
      const cv::Vec3f at =
          centre + side * static_cast<float>(s * width) + normal * lift + along * static_cast<float>(dent);
      const cv::Vec3f facing = cv::normalize(normal - side * static_cast<float>(std::tan(blade.fold) * s));
      const float rib = static_cast<float>(std::exp(-s * s * 12) * (1 - 0.6 * t));
      const float dapple = static_cast<float>(1 + 0.07 * std::sin(9 * t + 5 * s + blade.heading * 7) *
                                                      std::sin(6 * s - 13 * t + blade.length_mm));
      body.vertices.push_back(
          {at, facing, (blade.colour * (1 - 0.5f * rib) + blade.rib * (0.5f * rib)) * dapple});
    }
    centre += along * static_cast<float>(blade.length_mm * (place(i + 1) - t));
  }
  weave(body, first, steps, columns, false);
}

}  // namespace braird::painter
