// SPDX-License-Identifier: Apache-2.0
#include "vision/seedlings.h"

#include <stdexcept>

#include "vision/flat_tray.h"
#include "vision/looks.h"
#include "vision/net/networks.h"
#include "vision/seedlings_by_shape.h"

namespace braird::vision {
namespace {

/// How often the networks of a model look at a whole tray. The more cells, the less often: large trays take
/// no longer.
int looks_for(int cells) {
  constexpr int kSmall = 81, kMiddling = 165;
  if (cells <= kSmall) return 4;
  return cells <= kMiddling ? 2 : 1;
}

cv::Mat look_at(const FlatTray& flat, const Lattice& lattice, const Hints& hints) {
  const cv::Mat told = sides(flat.lean, hints);
  const int looks = looks_for(lattice.rows * lattice.cols);
  if (hints.counted == Counted::seeds) return count_chances(Model::seeds, flat.bgr, told, looks);
  if (looks > 1) return count_chances(Model::counts, flat.bgr, told, looks);
  return count_chances(Model::counts, flat.bgr, told,
                       [&](const cv::Mat& seen) { return doubtful_places(seen, lattice); });
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
  return chances_of_cells(look_at(flat, lattice, hints), lattice);
}

}  // namespace braird::vision
