// SPDX-License-Identifier: Apache-2.0
#include "vision/seedlings.h"

#include <algorithm>
#include <cmath>
#include <opencv2/dnn.hpp>
#include <stdexcept>

#include "vision/flat_tray.h"
#include "vision/models.h"
#include "vision/plants.h"
#include "vision/seedlings_by_shape.h"

namespace braird::vision {
namespace {

/// Cells of a tray up to which there is time for a second look, at the tray turned by half. On 195 ordinary
/// painted photos it lifts states by 0.1 to 0.4 points.
constexpr int kMostLookedAtTwice = 162;

/// What the network is told beside the picture: lean, habit, seeds sown.
cv::Mat sides(const cv::Mat& lean, const Hints& hints) {
  const int size[] = {1, 8, lean.rows, lean.cols};
  cv::Mat result(4, size, CV_32F, cv::Scalar(0));
  const auto channel = [&](int c) { return cv::Mat(lean.rows, lean.cols, CV_32F, result.ptr<float>(0, c)); };
  cv::extractChannel(lean, channel(0), 0);
  cv::extractChannel(lean, channel(1), 1);
  channel(2 + static_cast<int>(hints.habit)).setTo(1);
  if (hints.seeds_per_cell) {
    channel(6).setTo(*hints.seeds_per_cell / 8.0);
    channel(7).setTo(1);
  }
  return result;
}

CountChances chances_at(const cv::Mat& logits, int y, int x) {
  CountChances chances(logits.size[1]);
  double most = -1e9, sum = 0;
  for (int k = 0; k < logits.size[1]; ++k) most = std::max<double>(most, logits.ptr<float>(0, k, y)[x]);
  for (int k = 0; k < logits.size[1]; ++k) sum += chances[k] = std::exp(logits.ptr<float>(0, k, y)[x] - most);
  for (double& chance : chances) chance /= sum;
  return chances;
}

FlatTray turned_by_half(const FlatTray& flat) {
  FlatTray turned{flat.cell, {}, {}};
  cv::rotate(flat.bgr, turned.bgr, cv::ROTATE_180);
  cv::rotate(-flat.lean, turned.lean, cv::ROTATE_180);
  return turned;
}

/// One look at the tray: logits of each count, for rows and half columns.
cv::Mat look_at(cv::dnn::Net& net, const FlatTray& flat, const Hints& hints) {
  net.setInput(cv::dnn::blobFromImage(balanced(flat.bgr)), "tray");
  net.setInput(sides(flat.lean, hints), "sides");
  return net.forward().clone();
}

CountChances mean_of(CountChances chances, const CountChances& others) {
  for (std::size_t k = 0; k < chances.size(); ++k) chances[k] = (chances[k] + others[k]) / 2;
  return chances;
}

std::vector<CountChances> count_by_network(const FlatTray& flat, const Lattice& lattice, const Hints& hints) {
  const bool seeds = hints.counted == Counted::seeds;
  cv::dnn::Net net = load_model(seeds ? Model::seeds : Model::counts);
  const cv::Mat logits = look_at(net, flat, hints);
  const bool again = !seeds && lattice.rows * lattice.cols <= kMostLookedAtTwice;
  const cv::Mat from_behind = again ? look_at(net, turned_by_half(flat), hints) : cv::Mat{};
  std::vector<CountChances> chances;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) {
      const int at = cvRound(2 * (tray_point(lattice, row, col).x - first_u(lattice)));
      chances.push_back(chances_at(logits, row, at));
      if (again)
        chances.back() = mean_of(chances.back(),
                                 chances_at(from_behind, logits.size[2] - 1 - row, logits.size[3] - 1 - at));
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
