// SPDX-License-Identifier: Apache-2.0
#include "vision/seedlings.h"

#include "vision/flat_tray.h"
#include "vision/looks.h"
#include "vision/net/networks.h"
#include "vision/seedlings_by_shape.h"

namespace braird::vision {
namespace {

cv::Mat look_at(const FlatTray& flat, const Lattice& lattice, const Hints& hints) {
  const cv::Mat told = sides(flat.lean, hints);
  const int looks = looks_for(lattice);
  if (looks > 1) return count_chances(Model::counts, flat.bgr, told, looks);
  return count_chances(Model::counts, flat.bgr, told,
                       [&](const cv::Mat& seen) { return doubtful_places(seen, lattice); });
}

}  // namespace

std::vector<CountChances> count_seedlings(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints,
                                          const Trace& trace) {
  const bool by_shape = hints.counter == Counter::by_shape;
  const FlatTray flat = lay_flat(bgr, lattice, by_shape ? kCoarseCell : kCountedCell);
  if (trace) trace("flat-tray", flat.bgr);
  if (by_shape) return count_by_shape(flat, lattice, hints, trace);
  return chances_of_cells(look_at(flat, lattice, hints), lattice);
}

}  // namespace braird::vision
