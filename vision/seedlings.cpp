// SPDX-License-Identifier: Apache-2.0
#include "vision/seedlings.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

#include "vision/flat_tray.h"
#include "vision/net/networks.h"
#include "vision/seedlings_by_shape.h"

namespace braird::vision {
namespace {

/// Cells of a tray up to which there is time for a second look, at the tray turned by half. On 195 ordinary
/// painted photos it lifts states by 0.1 to 0.4 points.
constexpr int kMostLookedAtTwice = 162;

/// What the network is told beside the picture: lean, habit, seeds sown.
cv::Mat sides(const cv::Mat& lean, const Hints& hints) {
  cv::Mat parts[8];
  cv::split(lean, parts);
  for (int c = 2; c < 8; ++c) parts[c] = cv::Mat::zeros(lean.size(), CV_32F);
  parts[2 + static_cast<int>(hints.habit)].setTo(1);
  if (hints.seeds_per_cell) {
    parts[6].setTo(*hints.seeds_per_cell / 8.0);
    parts[7].setTo(1);
  }
  cv::Mat result;
  cv::merge(parts, 8, result);
  return result;
}

CountChances chances_at(const cv::Mat& chances, int y, int x) {
  const float* first = chances.ptr<float>(y, x);
  return {first, first + chances.channels()};
}

FlatTray turned_by_half(const FlatTray& flat) {
  FlatTray turned{flat.cell, {}, {}};
  cv::rotate(flat.bgr, turned.bgr, cv::ROTATE_180);
  cv::rotate(-flat.lean, turned.lean, cv::ROTATE_180);
  return turned;
}

/// One look at the tray: chances of each count, for rows and half columns.
cv::Mat look_at(const FlatTray& flat, const Hints& hints) {
  return count_chances(hints.counted == Counted::seeds ? Model::seeds : Model::counts, flat.bgr,
                       sides(flat.lean, hints));
}

CountChances mean_of(CountChances chances, const CountChances& others) {
  for (std::size_t k = 0; k < chances.size(); ++k) chances[k] = (chances[k] + others[k]) / 2;
  return chances;
}

std::vector<CountChances> count_by_network(const FlatTray& flat, const Lattice& lattice, const Hints& hints) {
  const cv::Mat seen = look_at(flat, hints);
  const bool again = hints.counted == Counted::seedlings && lattice.rows * lattice.cols <= kMostLookedAtTwice;
  const cv::Mat from_behind = again ? look_at(turned_by_half(flat), hints) : cv::Mat{};
  std::vector<CountChances> chances;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) {
      const int at = cvRound(2 * (tray_point(lattice, row, col).x - first_u(lattice)));
      chances.push_back(chances_at(seen, row, at));
      if (again)
        chances.back() =
            mean_of(chances.back(), chances_at(from_behind, seen.rows - 1 - row, seen.cols - 1 - at));
    }
  return chances;
}

}  // namespace

std::vector<CountChances> count_seedlings(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints,
                                          const Trace& trace) {
  if (hints.counter == Counter::by_shape && hints.counted == Counted::seeds)
    throw std::invalid_argument(
        "only seedlings can be counted by shape; count seeds with the learned counter");
  const bool by_shape = hints.counter == Counter::by_shape;
  const int cell = by_shape ? kCoarseCell : hints.counted == Counted::seeds ? kSeedsCell : kCountedCell;
  const FlatTray flat = lay_flat(bgr, lattice, cell);
  if (trace) trace("flat-tray", flat.bgr);
  if (by_shape) return count_by_shape(flat, lattice, hints, trace);
  return count_by_network(flat, lattice, hints);
}

}  // namespace braird::vision
