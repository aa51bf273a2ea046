// SPDX-License-Identifier: Apache-2.0
#include "vision/seeds.h"

#include <stdexcept>

#include "vision/alike.h"
#include "vision/flat_tray.h"
#include "vision/looks.h"
#include "vision/net/networks.h"
#include "vision/seeds_told.h"

namespace braird::vision {
namespace {

// Of 551 painted trays with seedlings up in a third of their cells or more, 541 are refused as uncounted
// anyway; the others have a doubt of 0.16 nats or more. Nine in 19 of those with seeds that are counted have
// less than 0.12.
constexpr double kSure = 0.12;
// Of 259 large ones, all three that aren't refused anyway have 0.26 or more.
constexpr double kSureIfLarge = 0.2;

/// The share of cells in the middle of the tray, at most 36, in which seedlings stand.
double seedlings_up(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints) {
  const Lattice middle = middle_of(lattice);
  const FlatTray flat = lay_flat(bgr, middle, kCountedCell);
  const cv::Mat seen = count_chances(Model::counts, flat.bgr, sides(flat.lean, hints), 1);
  return 1 - sight_of(chances_of_cells(seen, middle)).empty;
}

/// Whether one look at a tray has to do, for time's sake.
bool is_large(const Lattice& lattice) {
  return looks_for(lattice) == 1;
}

SeedsSeen seen_by(Model model, int cell, const cv::Mat& bgr, const Lattice& lattice, const Hints& hints,
                  const Trace& trace) {
  const FlatTray flat = lay_flat(bgr, lattice, cell);
  if (trace) trace("flat-tray", flat.bgr);
  const cv::Mat seen = count_chances(model, flat.bgr, sides(flat.lean, hints), looks_for(lattice));
  return {chances_of_cells(seen, lattice), alikeness(flat, lattice)};
}

SeedsSeen first_look(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints, const Trace& trace) {
  return is_large(lattice) ? seen_by(Model::seeds_large_tray, kSeedsCellOfLarge, bgr, lattice, hints, trace)
                           : seen_by(Model::seeds, kSeedsCell, bgr, lattice, hints, trace);
}

/// Whether a large tray that would be refused may be counted at the closer scale. Of 200 painted ones, whose
/// counts are told (or not) how many were sown, 68 (45) are looked at again and 7 (13) of them counted.
bool deserves_closer_look(const SeedSight& sight) {
  constexpr double kHopeless = 0.2;
  return sight.miscounted > kMostMiscounted && sight.miscounted <= kHopeless;
}

}  // namespace

SeedsSeen see_seeds(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints, const Trace& trace) {
  if (hints.counter == Counter::by_shape)
    throw std::invalid_argument(
        "only seedlings can be counted by shape; count seeds with the learned counter");
  SeedsSeen seen = first_look(bgr, lattice, hints, trace);
  if (!is_large(lattice) || !deserves_closer_look(sight_of(seen.chances))) return seen;
  return seen_by(Model::seeds, kSeedsCell, bgr, lattice, hints, trace);
}

std::string why_no_count(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints,
                         const SeedsSeen& seen) {
  if (std::string why = why_all_alike(seen.alike); !why.empty()) return why;
  std::string why = why_seeds_uncounted(seen.chances);
  const double sure = is_large(lattice) ? kSureIfLarge : kSure;
  if (!why.empty() || sight_of(seen.chances).doubt > sure)
    if (std::string up = why_seedlings(seedlings_up(bgr, lattice, hints)); !up.empty()) return up;
  if (!why.empty())
    return hints.seeds_per_cell ? why
                                : why + "; it helps, too, to tell with --seeds how many were sown a cell";
  if (!hints.seeds_per_cell) return "";
  Hints untold = hints;
  untold.seeds_per_cell.reset();
  return why_other_drop(first_look(bgr, lattice, untold, {}).chances, *hints.seeds_per_cell,
                        most_seeds_learned(hints.habit));
}

double seeds_lie_in(const cv::Mat& bgr, const Lattice& lattice, Hints hints) {
  hints.seeds_per_cell.reset();
  hints.counter = Counter::learned;
  const Lattice middle = middle_of(lattice);
  // Before a network looks, since most trays without anything up are bare medium.
  if (!why_all_alike(alikeness(lay_flat(bgr, middle, kSeedsCell), middle)).empty()) return 0;
  const SeedsSeen seen = see_seeds(bgr, middle, hints);
  return why_no_count(bgr, middle, hints, seen).empty() ? 1 - sight_of(seen.chances).empty : 0;
}

}  // namespace braird::vision
