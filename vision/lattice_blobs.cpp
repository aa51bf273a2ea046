// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice_blobs.h"

#include <algorithm>
#include <cstddef>
#include <opencv2/core/hal/intrin.hpp>
#include <opencv2/core/utility.hpp>
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

namespace {

/// What a window of the map says about where its blob stands.
struct Pull {
  float x = 0, y = 0, mass = 0, peak = 0;
};

/// The blob within `radius` of a place, nearer pixels counting more, offsets from that place; `stride`: 1 or
/// 2, for each pixel or every second one.
Pull pull_at(const cv::Mat& map, cv::Point2d at, double radius, int stride) {
  constexpr int kLanes = cv::v_float32x4::nlanes;
  const cv::Rect window = cv::Rect(cvFloor(at.x - radius), cvFloor(at.y - radius), cvCeil(2 * radius) + 2,
                                   cvCeil(2 * radius) + 2) &
                          cv::Rect({0, 0}, map.size());
  const auto per_square = static_cast<float>(1 / (radius * radius));
  const auto left = static_cast<float>(window.x - at.x), top = static_cast<float>(window.y - at.y);
  const int seen = (window.width + stride - 1) / stride, lanes = (seen + kLanes - 1) / kLanes * kLanes;
  cv::AutoBuffer<float> offs(lanes), falls(lanes), values(lanes);
  std::fill_n(values.data(), lanes, 0.0F);
  for (int i = 0; i < lanes; ++i) {
    offs[i] = left + static_cast<float>(i * stride);
    falls[i] = offs[i] * offs[i] * per_square;
  }
  const cv::v_float32x4 none = cv::v_setzero_f32();
  cv::v_float32x4 sum_x = none, sum_y = none, mass = none, peak = none;
  for (int j = 0; j < window.height; j += stride) {
    const float* row = map.ptr<float>(window.y + j) + window.x;
    for (int i = 0; i < seen; ++i) values[i] = row[std::ptrdiff_t{i} * stride];
    const float y = top + static_cast<float>(j);
    const cv::v_float32x4 near_y = cv::v_setall_f32(1 - y * y * per_square);
    cv::v_float32x4 row_mass = none;
    for (int i = 0; i < lanes; i += kLanes) {
      const cv::v_float32x4 value = cv::v_load(&values[i]);
      const cv::v_float32x4 near = cv::v_max(none, near_y - cv::v_load(&falls[i]));
      const cv::v_float32x4 weight = value * value * near;
      peak = cv::v_max(peak, value & (near > none));
      sum_x += weight * cv::v_load(&offs[i]);
      row_mass += weight;
    }
    sum_y += row_mass * cv::v_setall_f32(y);
    mass += row_mass;
  }
  return {cv::v_reduce_sum(sum_x), cv::v_reduce_sum(sum_y), cv::v_reduce_sum(mass), cv::v_reduce_max(peak)};
}

}  // namespace

std::vector<Spot> spots_of(const Lattice& lattice) {
  std::vector<Spot> spots;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) {
      const cv::Point2d tray = tray_point(lattice, row, col);
      spots.push_back({tray, photo_point(lattice, tray), pitch_at(lattice, tray)});
    }
  return spots;
}

std::optional<Meeting> meet(const LatticeMaps& maps, const Spot& spot, double reach) {
  const double pitch = spot.pitch;
  cv::Point2d at = spot.at;
  // A candidate gone astray may have its cells nowhere at all.
  if (!(pitch < kNowhere && std::abs(at.x) < kNowhere && std::abs(at.y) < kNowhere)) return std::nullopt;
  constexpr double kFine = 4;  // px: where a first, rough step reaches farther, every second pixel will do
  double best = 0;
  for (const bool rough : {true, false}) {
    const double radius = (rough ? reach : 0.35) * pitch;
    const Pull pull = pull_at(maps.centres, at, radius, rough && radius > kFine ? 2 : 1);
    best = pull.peak;
    if (best < kFaintBlob) return std::nullopt;
    at += cv::Point2d(pull.x / pull.mass, pull.y / pull.mass);
  }
  return Meeting{spot.tray, at, best, pitch};
}

std::vector<Meeting> meet_all(const LatticeMaps& maps, const Lattice& lattice, double reach) {
  std::vector<Meeting> meetings;
  for (const Spot& spot : spots_of(lattice))
    if (const auto m = meet(maps, spot, reach)) meetings.push_back(*m);
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
