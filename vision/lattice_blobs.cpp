// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice_blobs.h"

#include <algorithm>

namespace braird::vision {

static constexpr double kFaintBlob = 0.15;

std::optional<Meeting> meet(const LatticeMaps& maps, const Lattice& lattice, cv::Point2d tray, double reach) {
  const double pitch = pitch_at(lattice, tray);
  cv::Point2d at = photo_point(lattice, tray);
  double best = 0;
  for (const double radius : {reach * pitch, reach * pitch, 0.35 * pitch}) {
    cv::Point2d sum{};
    double mass = 0;
    best = 0;
    const cv::Rect window = cv::Rect(cvFloor(at.x - radius), cvFloor(at.y - radius), cvCeil(2 * radius) + 2,
                                     cvCeil(2 * radius) + 2) &
                            cv::Rect({0, 0}, maps.centres.size());
    for (int y = window.y; y < window.y + window.height; ++y)
      for (int x = window.x; x < window.x + window.width; ++x) {
        const cv::Point2d offset = cv::Point2d(x, y) - at;
        const double share = offset.dot(offset) / (radius * radius);
        if (share >= 1) continue;
        const double value = maps.centres.at<float>(y, x);
        const double weight = value * value * (1 - share);
        best = std::max(best, value);
        sum += weight * cv::Point2d(x, y);
        mass += weight;
      }
    if (best < kFaintBlob) return std::nullopt;
    at = sum * (1 / mass);
  }
  return Meeting{tray, at, best, pitch};
}

std::vector<Meeting> meet_all(const LatticeMaps& maps, const Lattice& lattice, double reach) {
  std::vector<Meeting> meetings;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      if (const auto m = meet(maps, lattice, tray_point(lattice, row, col), reach)) meetings.push_back(*m);
  return meetings;
}

std::vector<Stray> strays_of(const Lattice& lattice, const std::vector<Meeting>& meetings) {
  std::vector<Stray> strays;
  for (const Meeting& m : meetings) {
    const cv::Point2d at = photo_point(lattice, m.tray), off = m.seen - at;
    const cv::Point2d right = 10 * (photo_point(lattice, m.tray + cv::Point2d(0.1, 0)) - at);
    const cv::Point2d down = 10 * (photo_point(lattice, m.tray + cv::Point2d(0, 0.1)) - at);
    const double area = right.cross(down);
    strays.push_back({m.tray, {off.cross(down) / area, right.cross(off) / area}, m.weight});
  }
  return strays;
}

}  // namespace braird::vision
