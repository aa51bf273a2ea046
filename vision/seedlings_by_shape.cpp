// SPDX-License-Identifier: Apache-2.0
#include "vision/seedlings_by_shape.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "vision/plants.h"

namespace braird::vision {
namespace {

constexpr int kMostTold = 9;
constexpr double kSmallestPlant = 9;  // px of the flat tray: 1.5 mm square at a pitch of 25 mm

/// The cell whose centre is nearest to a place of the flat tray; -1 outside the tray.
int cell_at(const Lattice& lattice, cv::Point2d flat) {
  const double v = flat.y / kCoarseCell - 1, u = flat.x / kCoarseCell - 1 + first_u(lattice);
  const int row = cvRound(v);
  if (row < 0 || row >= lattice.rows) return -1;
  const int col = cvRound(u - lattice.odd_row_shift * (row % 2));
  return col < 0 || col >= lattice.cols ? -1 : row * lattice.cols + col;
}

/// Plant px of each cell. A clump within one cell's reach goes whole to the cell of its foot, which lies
/// towards the photo's middle from where its leaves are seen; larger ones are shared out pixel by pixel.
std::vector<double> plant_areas(const cv::Mat& mask, const FlatTray& flat, const Lattice& lattice) {
  cv::Mat labels, stats, middles;
  const int clumps = cv::connectedComponentsWithStats(mask, labels, stats, middles);
  std::vector<double> area(number_of_cells(layout_of(lattice)), 0.0);
  std::vector<int> owner(clumps, -2);
  for (int i = 1; i < clumps; ++i) {
    if (std::max(stats.at<int>(i, cv::CC_STAT_WIDTH), stats.at<int>(i, cv::CC_STAT_HEIGHT)) >
        1.2 * kCoarseCell)
      continue;
    const cv::Point2d middle(middles.at<double>(i, 0), middles.at<double>(i, 1));
    const cv::Vec2f lean = lean_at(flat, middle);
    owner[i] = cell_at(lattice, middle - 0.15 * kCoarseCell * cv::Point2d(lean[0], lean[1]));
  }
  for (int y = 0; y < labels.rows; ++y)
    for (int x = 0; x < labels.cols; ++x) {
      const int label = labels.at<int>(y, x);
      if (label == 0) continue;
      const int cell = owner[label] == -2 ? cell_at(lattice, cv::Point2d(x, y)) : owner[label];
      if (cell >= 0) area[cell] += 1;
    }
  return area;
}

/// The plant area of a single seedling: where few were sown a low quantile of the occupied cells' areas.
double single_area(std::vector<double> area, const Hints& hints) {
  std::erase_if(area, [](double a) { return a < kSmallestPlant; });
  if (area.empty()) return 60;
  const double share = hints.seeds_per_cell.value_or(2) == 1 ? 0.5 : 0.25;
  std::sort(area.begin(), area.end());
  return area[static_cast<std::size_t>(share * static_cast<double>(area.size() - 1))];
}

/// Seedlings differ in size by about two fifths; the chance of k falls off with the distance of the area from
/// k singles.
CountChances chances_of(double area, double single) {
  CountChances chances(kMostTold + 1);
  const double ratio = area / single;
  chances[0] = area < kSmallestPlant ? 1 : std::exp(-area / kSmallestPlant);
  for (int k = 1; k <= kMostTold && area >= kSmallestPlant; ++k) {
    const double off = (ratio - k) / (0.4 * std::sqrt(k));
    chances[k] = std::exp(-off * off / 2) + 1e-4;
  }
  const double sum = std::accumulate(chances.begin(), chances.end(), 0.0);
  for (double& chance : chances) chance /= sum;
  return chances;
}

}  // namespace

std::vector<CountChances> count_by_shape(const FlatTray& flat, const Lattice& lattice, const Hints& hints,
                                         const Trace& trace) {
  const cv::Mat mask = plant_mask(flat.bgr);
  if (trace) trace("plants", mask);
  const std::vector<double> area = plant_areas(mask, flat, lattice);
  const double single = single_area(area, hints);
  std::vector<CountChances> chances;
  chances.reserve(area.size());
  for (const double a : area) chances.push_back(chances_of(a, single));
  return chances;
}

}  // namespace braird::vision
