// SPDX-License-Identifier: Apache-2.0
#include "vision/looks.h"

#include <algorithm>
#include <utility>

#include "vision/cell_chances.h"

namespace braird::vision {
namespace {

constexpr double kSureEnough = 0.6;  // of surer cells hardly any come out otherwise when looked at again
constexpr std::size_t kShare = 24;   // one cell in so many is looked at again at most: trays have little time

CountChances chances_at(const cv::Mat& chances, cv::Point place) {
  const float* first = chances.ptr<float>(place.y, place.x);
  return {first, first + chances.channels()};
}

/// The half column and row of each cell, row by row.
std::vector<cv::Point> places_of(const Lattice& lattice) {
  std::vector<cv::Point> places;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      places.emplace_back(cvRound(2 * (tray_point(lattice, row, col).x - first_u(lattice))), row);
  return places;
}

}  // namespace

int most_seeds_learned(SeedlingHabit habit) {
  switch (habit) {
    case SeedlingHabit::thread:
      return 8;
    case SeedlingHabit::unknown:
      return 5;
    default:
      return 4;
  }
}

cv::Mat sides(const cv::Mat& lean, const Hints& hints) {
  cv::Mat parts[8];
  cv::split(lean, parts);
  for (int c = 2; c < 8; ++c) parts[c] = cv::Mat::zeros(lean.size(), CV_32F);
  parts[2 + static_cast<int>(hints.habit)].setTo(1);
  if (hints.seeds_per_cell) {
    parts[6].setTo(std::min(*hints.seeds_per_cell, most_seeds_learned(hints.habit)) / 8.0);
    parts[7].setTo(1);
  }
  cv::Mat result;
  cv::merge(parts, 8, result);
  return result;
}

int looks_for(const Lattice& lattice) {
  constexpr int kSmall = 81, kMiddling = 165;
  const int cells = lattice.rows * lattice.cols;
  if (cells <= kSmall) return 4;
  return cells <= kMiddling ? 2 : 1;
}

std::vector<CountChances> chances_of_cells(const cv::Mat& seen, const Lattice& lattice) {
  std::vector<CountChances> chances;
  for (const cv::Point& place : places_of(lattice)) chances.push_back(chances_at(seen, place));
  return chances;
}

std::vector<cv::Point> doubtful_places(const cv::Mat& seen, const Lattice& lattice) {
  std::vector<std::pair<double, cv::Point>> doubtful;
  for (const cv::Point& place : places_of(lattice))
    if (const double sure = std::ranges::max(state_chances(chances_at(seen, place))); sure < kSureEnough)
      doubtful.emplace_back(sure, place);
  const std::size_t most = static_cast<std::size_t>(lattice.rows) * lattice.cols / kShare;
  if (doubtful.size() > most) {
    std::ranges::nth_element(doubtful, doubtful.begin() + static_cast<long>(most), {},
                             [](const auto& d) { return d.first; });
    doubtful.resize(most);
  }
  std::vector<cv::Point> places;
  places.reserve(doubtful.size());
  for (const auto& [sure, place] : doubtful) places.push_back(place);
  return places;
}

}  // namespace braird::vision
