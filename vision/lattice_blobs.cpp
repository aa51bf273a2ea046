// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice_blobs.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace braird::vision {

static constexpr double kFaintBlob = 0.15;

std::vector<Blob> peaks_of(const cv::Mat& centres) {
  cv::Mat smooth, highest;
  cv::GaussianBlur(centres, smooth, {}, 0.7);
  cv::dilate(smooth, highest, cv::getStructuringElement(cv::MORPH_RECT, {3, 3}));
  std::vector<Blob> peaks;
  for (int y = 1; y + 1 < centres.rows; ++y)
    for (int x = 1; x + 1 < centres.cols; ++x) {
      const float peak = smooth.at<float>(y, x);
      if (peak < 0.7F * kFaintBlob || peak < highest.at<float>(y, x)) continue;
      const auto vertex = [peak](float before, float after) {
        const float bend = before + after - 2 * peak;
        return bend < 0 ? 0.5 * (before - after) / bend : 0.0;
      };
      peaks.push_back({{x + vertex(smooth.at<float>(y, x - 1), smooth.at<float>(y, x + 1)),
                        y + vertex(smooth.at<float>(y - 1, x), smooth.at<float>(y + 1, x))},
                       peak});
    }
  return peaks;
}

std::optional<Meeting> meet(const LatticeMaps& maps, const Lattice& lattice, cv::Point2d tray, double reach) {
  const double pitch = pitch_at(lattice, tray);
  cv::Point2d at = photo_point(lattice, tray);
  // A candidate gone astray may have its cells nowhere at all.
  if (!(pitch < kNowhere && std::abs(at.x) < kNowhere && std::abs(at.y) < kNowhere)) return std::nullopt;
  constexpr double kFine = 4;  // px: where a first, rough step reaches farther, every second pixel will do
  double best = 0;
  for (const bool rough : {true, false}) {
    const double radius = (rough ? reach : 0.35) * pitch;
    const int stride = rough && radius > kFine ? 2 : 1;
    const cv::Rect window = cv::Rect(cvFloor(at.x - radius), cvFloor(at.y - radius), cvCeil(2 * radius) + 2,
                                     cvCeil(2 * radius) + 2) &
                            cv::Rect({0, 0}, maps.centres.size());
    const auto per_square = static_cast<float>(1 / (radius * radius));
    const auto left = static_cast<float>(window.x - at.x), top = static_cast<float>(window.y - at.y);
    float sum_x = 0, sum_y = 0, mass = 0, peak = 0;
    for (int j = 0; j < window.height; j += stride) {
      const float* row = maps.centres.ptr<float>(window.y + j) + window.x;
      const float y = top + static_cast<float>(j), near_y = 1 - y * y * per_square;
      for (int i = 0; i < window.width; i += stride) {
        const float x = left + static_cast<float>(i), near = std::max(0.0F, near_y - x * x * per_square);
        const float weight = row[i] * row[i] * near;
        peak = std::max(peak, near > 0 ? row[i] : 0);
        sum_x += weight * x, sum_y += weight * y, mass += weight;
      }
    }
    best = peak;
    if (best < kFaintBlob) return std::nullopt;
    at += cv::Point2d(sum_x / mass, sum_y / mass);
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
