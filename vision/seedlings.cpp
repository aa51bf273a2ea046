// SPDX-License-Identifier: Apache-2.0
#include "vision/seedlings.h"

#include <stdexcept>

#include "vision/flat_tray.h"
#include "vision/looks.h"
#include "vision/net/networks.h"
#include "vision/seed_area.h"
#include "vision/seedlings_by_shape.h"
#include "vision/seeds_told.h"

namespace braird::vision {
namespace {

/// Both networks of a model look once; at small trays, which take little time, twice.
int looks_for(int cells) {
  constexpr int kSmall = 81;
  return cells <= kSmall ? 4 : 2;
}

std::vector<CountChances> count_by_network(const FlatTray& flat, const Lattice& lattice, const Hints& hints) {
  const Model model = hints.counted == Counted::seeds ? Model::seeds : Model::counts;
  const int looks = looks_for(lattice.rows * lattice.cols);
  return chances_of_cells(count_chances(model, flat.bgr, sides(flat.lean, hints), looks), lattice);
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
  auto chances = count_by_network(flat, lattice, hints);
  // Guesses are left as they are, for take_census to refuse: their "seeds' colours" would be chance.
  const bool seeds_seen = hints.counted == Counted::seeds && why_seeds_hide(chances).empty();
  return seeds_seen ? weighed_by_seed_area(flat, lattice, std::move(chances)) : chances;
}

}  // namespace braird::vision
