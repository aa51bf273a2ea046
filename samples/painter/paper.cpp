// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <map>

#include "samples/painter/tray.h"

namespace braird::painter {
namespace {

using Corner = std::pair<int, int>;  ///< a corner of a paper cell, in 24ths of a pitch

Corner key_of(cv::Point2d uv) {
  return {cvRound(uv.x * 24), cvRound(uv.y * 24)};
}

/// The walls of all cells, each once.
std::map<std::pair<Corner, Corner>, std::pair<cv::Point2d, cv::Point2d>> walls(const Tray& tray) {
  const double side_v = tray.paper_corner, tip_v = 1 - side_v;
  const cv::Point2d corners[] = {{0, -tip_v}, {0.5, -side_v}, {0.5, side_v},
                                 {0, tip_v},  {-0.5, side_v}, {-0.5, -side_v}};
  std::map<std::pair<Corner, Corner>, std::pair<cv::Point2d, cv::Point2d>> all;
  for (int row = 0; row < tray.rows; ++row)
    for (int col = 0; col < tray.cols; ++col)
      for (int side = 0; side < 6; ++side) {
        const cv::Point2d middle = cell_uv(tray, row, col);
        cv::Point2d a = middle + corners[side], b = middle + corners[(side + 1) % 6];
        if (key_of(b) < key_of(a)) std::swap(a, b);
        all[{key_of(a), key_of(b)}] = {a, b};
      }
  return all;
}

/// The same shift for every wall that meets in a corner.
cv::Point2d shaken(const Tray& tray, cv::Point2d uv, std::uint64_t seed) {
  const Corner key = key_of(uv);
  Random random(seed ^ (static_cast<std::uint64_t>(key.first + 5000) << 20) ^
                static_cast<std::uint64_t>(key.second + 5000));
  random.bits();
  return uv + cv::Point2d(random.normal(0, tray.wall_wave), random.normal(0, tray.wall_wave));
}

/// Slow waves that tell where topping lies deep.
double cover_at(cv::Point2d uv, std::uint64_t seed) {
  Random random(seed);
  double sum = 0;
  for (int wave = 0; wave < 6; ++wave) {
    const double turn = random.angle(), length = random.uniform(0.7, 5);
    sum += std::sin((uv.x * std::cos(turn) + uv.y * std::sin(turn)) / length * 6.28 + random.angle());
  }
  return sum / std::sqrt(3.0);  // deviation 1
}

}  // namespace

void lay_paper(Relief& relief, const Tray& tray, Random random) {
  const std::uint64_t shake = random.bits(), cover = random.bits();
  const double hidden = std::clamp(tray.buried, 1e-3, 1 - 1e-3),
               level = 0.6 * std::log(hidden / (1 - hidden));
  constexpr int pieces = 5;
  for (const auto& [key, ends] : walls(tray)) {
    const cv::Point2d a = shaken(tray, ends.first, shake), b = shaken(tray, ends.second, shake);
    const double bulge = random.normal(0, 1.5 * tray.wall_wave), wiggle = random.normal(0, tray.wall_wave);
    const bool doubled = std::abs(ends.first.x - ends.second.x) < 0.1;
    const cv::Point2d across(-(b - a).y, (b - a).x);
    const auto point = [&](double t) {
      return a + (b - a) * t + across * (bulge * std::sin(3.14 * t) + wiggle * std::sin(9.4 * t));
    };
    const float tone = static_cast<float>(random.uniform(0.75, 1.15));
    for (int i = 0; i < pieces; ++i) {
      const cv::Point2d from = point(i / double(pieces)), to = point((i + 1) / double(pieces));
      const double seen = cover_at(from, cover) + random.normal(0, 0.35) - level;
      if (seen < 0) continue;
      const double rise = std::min(1.0, 0.3 + seen) * tray.wall_height_mm + 0.5 * tray.medium.roughness_mm +
                          (tray.medium.vermiculite > 10 ? 0.7 : 0);
      const double half = tray.wall_mm / 2 * (doubled ? 1.5 : 1) * random.uniform(0.8, 1.2);
      Stroke wall{place_of(tray, from),
                  place_of(tray, to),
                  half,
                  rise - tray.fill_mm,
                  rise - tray.fill_mm,
                  0.2,
                  tray.paper * (tone * static_cast<float>(random.uniform(0.9, 1.1))),
                  0.0,
                  wall_kind};
      lay_stroke(relief, wall);
    }
  }
}

}  // namespace braird::painter
