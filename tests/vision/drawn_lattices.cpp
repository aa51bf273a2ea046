// SPDX-License-Identifier: Apache-2.0
#include "tests/vision/drawn_lattices.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace braird::vision::drawn {
namespace {

const cv::Size kMap(320, 240);

double uniform(Random& random, double low, double high) {
  return std::uniform_real_distribution<>(low, high)(random);
}

int whole(Random& random, int low, int high) {
  return std::uniform_int_distribution<>(low, high)(random);
}

std::vector<cv::Point2d> outline_of(const Lattice& lattice, const cv::Rect2d& hull_box) {
  constexpr int kSteps = 20;
  const double left = hull_box.x, right = hull_box.br().x, top = hull_box.y, bottom = hull_box.br().y;
  const std::array<cv::Point2d, 5> corners{cv::Point2d(left, top), cv::Point2d(right, top),
                                           cv::Point2d(right, bottom), cv::Point2d(left, bottom),
                                           cv::Point2d(left, top)};
  std::vector<cv::Point2d> hull;
  for (int side = 0; side < 4; ++side)
    for (int i = 0; i < kSteps; ++i)
      hull.push_back(
          photo_point(lattice, corners[side] + (corners[side + 1] - corners[side]) * (1.0 * i / kSteps)));
  return hull;
}

bool whole_in_map(const Lattice& lattice) {
  const auto hull = outline_of(lattice, hull_of(lattice));
  return std::all_of(hull.begin(), hull.end(), [](cv::Point2d p) {
    return p.x > 4 && p.y > 4 && p.x < kMap.width - 5 && p.y < kMap.height - 5;
  });
}

Lattice some_lattice(Random& random) {
  Lattice lattice;
  const bool staggered = whole(random, 0, 1) == 1;
  lattice.rows = staggered ? whole(random, 5, 30) : whole(random, 3, 20);
  lattice.cols = whole(random, 4, staggered ? 20 : 40);
  if (staggered) lattice.odd_row_shift = whole(random, 0, 3) == 0 ? -0.5 : 0.5;
  const double ratio = staggered ? uniform(random, 0.86, 0.95) : 1;
  const double size = uniform(random, 150, 250) / std::max<double>(lattice.cols, ratio * lattice.rows);
  const double roll = uniform(random, 0, 2 * CV_PI);
  lattice.lens = {{(kMap.width - 1) / 2.0, (kMap.height - 1) / 2.0}, 200, uniform(random, -0.06, 0.06)};
  const cv::Matx33d centred(1, 0, -(lattice.cols - 1) / 2.0, 0, 1, -(lattice.rows - 1) / 2.0, 0, 0, 1);
  const cv::Matx33d turned(size * std::cos(roll), -size * ratio * std::sin(roll), 0, size * std::sin(roll),
                           size * ratio * std::cos(roll), 0, 0, 0, 1);
  const cv::Matx33d tilted(1, 0, 0, 0, 1, 0, uniform(random, -8e-4, 8e-4), uniform(random, -8e-4, 8e-4), 1);
  const cv::Matx33d placed(1, 0, 160 + uniform(random, -15, 15), 0, 1, 120 + uniform(random, -15, 15), 0, 0,
                           1);
  lattice.photo_from_plane = placed * tilted * turned * centred;
  return lattice;
}

void add_blob(cv::Mat& map, cv::Point2d at, double sigma, double strength) {
  for (int y = std::max(0, int(at.y - 3 * sigma)); y < std::min<double>(map.rows, at.y + 3 * sigma + 1); ++y)
    for (int x = std::max(0, int(at.x - 3 * sigma)); x < std::min<double>(map.cols, at.x + 3 * sigma + 1);
         ++x) {
      const cv::Point2d off = cv::Point2d(x, y) - at;
      float& value = map.at<float>(y, x);
      value = std::max(value, static_cast<float>(strength * std::exp(-off.dot(off) / (2 * sigma * sigma))));
    }
}

/// A part of the tray as the network would show it.
cv::Mat filled(const Lattice& lattice, const cv::Rect2d& part) {
  cv::Mat map = cv::Mat::zeros(kMap, CV_32F);
  std::vector<cv::Point> outline;
  for (const cv::Point2d& p : outline_of(lattice, part)) outline.emplace_back(cvRound(p.x), cvRound(p.y));
  cv::fillPoly(map, std::vector{outline}, cv::Scalar(1));
  cv::GaussianBlur(map, map, {}, 1.5);
  return map;
}

}  // namespace

Lattice any_lattice(Random& random) {
  for (;;) {
    const Lattice lattice = some_lattice(random);
    const double pitch = pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0});
    const double longer = 1.0 * std::max(lattice.rows, lattice.cols) / std::min(lattice.rows, lattice.cols);
    if (pitch > 5.5 && longer <= 4 && whole_in_map(lattice)) return lattice;
  }
}

LatticeMaps maps_of(const Lattice& lattice, Random& random) {
  LatticeMaps maps;
  maps.centres = cv::Mat::zeros(kMap, CV_32F);
  constexpr double kCoreInset = 1;
  const cv::Rect2d hull = hull_of(lattice);
  maps.region = filled(lattice, region_of(lattice));
  maps.core = filled(lattice, {hull.x + kCoreInset, hull.y + kCoreInset, hull.width - 2 * kCoreInset,
                               hull.height - 2 * kCoreInset});
  maps.frame = {{0, 0}, kMap};
  maps.lens = straight_lens(kMap);
  maps.staggered = maps.region * (lattice.odd_row_shift == 0 ? 0 : 1);
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) {
      const double pitch = pitch_at(lattice, tray_point(lattice, row, col));
      const cv::Point2d stray(uniform(random, -0.1, 0.1) * pitch, uniform(random, -0.1, 0.1) * pitch);
      const bool missing = whole(random, 0, 4) == 0;
      if (!missing)
        add_blob(maps.centres, cell_centre(lattice, row, col) + stray, 0.2 * pitch, uniform(random, 0.3, 1));
    }
  return maps;
}

double farthest_off(const Lattice& truth, const Lattice& found) {
  const bool same = std::minmax(truth.rows, truth.cols) == std::minmax(found.rows, found.cols) &&
                    (truth.odd_row_shift == 0) == (found.odd_row_shift == 0);
  if (!same) return 9;
  double farthest = 0;
  for (int row = 0; row < truth.rows; ++row)
    for (int col = 0; col < truth.cols; ++col) {
      const cv::Point2d at = cell_centre(truth, row, col);
      double nearest = 1e9;
      for (int i = 0; i < found.rows; ++i)
        for (int j = 0; j < found.cols; ++j)
          nearest = std::min(nearest, cv::norm(at - cell_centre(found, i, j)));
      farthest = std::max(farthest, nearest / pitch_at(truth, tray_point(truth, row, col)));
    }
  return farthest;
}

}  // namespace braird::vision::drawn
