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

constexpr double kClear = 0.03;  ///< share of cells expected wrong, up to which one look is enough

CountChances chances_at(const cv::Mat& logits, int y, int x) {
  CountChances chances(logits.size[1]);
  double most = -1e9, sum = 0;
  for (int k = 0; k < logits.size[1]; ++k) most = std::max<double>(most, logits.ptr<float>(0, k, y)[x]);
  for (int k = 0; k < logits.size[1]; ++k) sum += chances[k] = std::exp(logits.ptr<float>(0, k, y)[x] - most);
  for (double& chance : chances) chance /= sum;
  return chances;
}

/// The same tray seen from its other end.
FlatTray half_turned(const FlatTray& flat) {
  FlatTray turned{flat.cell, {}, {}};
  cv::flip(flat.bgr, turned.bgr, -1);
  cv::flip(flat.lean, turned.lean, -1);
  turned.lean = -turned.lean;
  return turned;
}

/// One look of the network, cells row by row; `turned` if `flat` is half turned.
std::vector<CountChances> look(cv::dnn::Net net, const FlatTray& flat, bool turned, const Lattice& lattice,
                               const Hints& hints) {
  net.setInput(cv::dnn::blobFromImage(balanced(flat.bgr)), "tray");
  net.setInput(sides(flat.lean, hints), "sides");
  const cv::Mat logits = net.forward();
  std::vector<CountChances> chances;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) {
      const int across = cvRound(2 * (tray_point(lattice, row, col).x - first_u(lattice)));
      chances.push_back(turned ? chances_at(logits, logits.size[2] - 1 - row, logits.size[3] - 1 - across)
                               : chances_at(logits, row, across));
    }
  return chances;
}

double expected_wrong(const std::vector<CountChances>& cells) {
  double wrong = 0;
  for (const CountChances& cell : cells) wrong += 1 - *std::max_element(cell.begin(), cell.end());
  return wrong / static_cast<double>(cells.size());
}

/// Where one look leaves doubt, another network looks at the tray from its other end, and the mean is taken:
/// what the two learned from different scenes, they get wrong in different cells.
std::vector<CountChances> count_by_network(const FlatTray& flat, const Lattice& lattice, const Hints& hints) {
  const bool seeds = hints.counted == Counted::seeds;
  std::vector<CountChances> chances =
      look(load_model(seeds ? Model::seeds : Model::counts), flat, false, lattice, hints);
  if (seeds || expected_wrong(chances) <= kClear) return chances;
  const std::vector<CountChances> again =
      look(load_model(Model::second_counts), half_turned(flat), true, lattice, hints);
  for (std::size_t cell = 0; cell < chances.size(); ++cell)
    for (std::size_t k = 0; k < chances[cell].size(); ++k)
      chances[cell][k] = (chances[cell][k] + again[cell][k]) / 2;
  return chances;
}

}  // namespace

std::vector<CountChances> count_seedlings(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints,
                                          const Trace& trace) {
  if (hints.counter == Counter::by_shape && hints.counted == Counted::seeds)
    throw std::invalid_argument(
        "only seedlings can be counted by shape; count seeds with the learned counter");
  const bool by_shape = hints.counter == Counter::by_shape;
  const FlatTray flat = lay_flat(bgr, lattice, by_shape ? kCoarseCell : kCountedCell);
  if (trace) trace("flat-tray", flat.bgr);
  if (by_shape) return count_by_shape(flat, lattice, hints, trace);
  return count_by_network(flat, lattice, hints);
}

}  // namespace braird::vision
