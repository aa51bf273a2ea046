// SPDX-License-Identifier: Apache-2.0
#include "vision/whole_tray.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "vision/log_odds.h"

namespace braird::vision {
namespace {

constexpr double kLeastEnd = 0.1, kLeastEndAsStated = 0.005;  // chance that a counted tray ends at a side
// Chance of a lattice to count by; of staggered rows, those wrong are surer.
constexpr double kLikely = 0.8, kLikelyIfStaggered = 0.88;
constexpr int kMostOfNeighbours = 2;  // rows

constexpr double kEnds = 0.5;  // chance of a seam to go by

/// The lattice without a neighbour's rows along a side; none if no line of two trays is seen there.
std::optional<Lattice> without_neighbours(const Lattice& lattice, int side,
                                          const std::vector<SeamWithin>& seams) {
  const bool upright = side % 2 == 1, first = side == 0 || side == 3;
  const int all = rows_across(lattice, upright);
  std::optional<Lattice> rest;
  double most = kEnds;
  for (const SeamWithin& seam : seams) {
    const int off = first ? seam.behind : all - seam.before;
    if (seam.upright != upright || off > std::min(kMostOfNeighbours, all - kFewestRows) || seam.chance < most)
      continue;
    most = seam.chance;
    rest = part_of(lattice, upright, first ? off : 0, all - off);
    rest->fit *= most;
  }
  return rest;
}

/// Of staggered rows that reach half a cell too far at either end, those that begin where the tray does: the
/// others are the ones that stand back then.
std::optional<Lattice> half_a_cell_shorter(const Lattice& lattice, const std::vector<SeamWithin>& seams) {
  if (lattice.odd_row_shift == 0 || lattice.cols <= kFewestRows) return std::nullopt;
  // The lines half a cell within, the outermost upright ones, where they were asked about.
  const auto first = std::ranges::find(seams, true, &SeamWithin::upright);
  const auto last = std::ranges::find(seams.rbegin(), seams.rend(), true, &SeamWithin::upright);
  if (first == seams.end() || first->before != 0 || last->behind != lattice.cols) return std::nullopt;
  const double both = std::min(first->chance, last->chance);
  if (both < kEnds) return std::nullopt;
  Lattice rest = part_of(lattice, true, lattice.odd_row_shift > 0 ? 1 : 0, lattice.cols - 1);
  rest.odd_row_shift = -lattice.odd_row_shift;
  rest.fit *= both;
  return rest;
}

double most_likely(const std::vector<SeamWithin>& seams) {
  double most = 0;
  for (const SeamWithin& seam : seams) most = std::max(most, seam.chance);
  return most;
}

/// The chance that a lattice is right and whole. Weights fitted to 1,133 lattices of 720 painted photos; of
/// staggered rows half a cell more or less is hard to tell, so a low fit means more there.
double chance_of(const Lattice& lattice, double least_end) {
  struct Weights {
    double all, fit, end;
  };
  constexpr double kMostEnd = 7;  // log odds
  const auto [all, fit, end] =
      lattice.odd_row_shift == 0 ? Weights{-0.62, 0.67, 0.25} : Weights{-1.61, 1.25, 0.36};
  return 1 / (1 + std::exp(-all - fit * log_odds(lattice.fit) -
                           end * std::clamp(log_odds(least_end), -kMostEnd, kMostEnd)));
}

struct Weighed {
  Lattice lattice;  ///< its neighbours' rows left out, with the chance that it is a whole tray as its fit
  bool goes_on;     ///< perhaps
  std::vector<SeamWithin> seams;
};

Weighed weighed(Lattice lattice, const PhotoSenses& photo) {
  constexpr int kSides = 4;
  for (int off = 0;; ++off) {
    const std::vector<SeamWithin> seams =
        photo.seams_in ? photo.seams_in(lattice) : std::vector<SeamWithin>{};
    std::optional<Lattice> rest = half_a_cell_shorter(lattice, seams);
    const auto ends = photo.ends_of(lattice);
    const auto least = std::ranges::min_element(ends);
    const bool goes_on = *least < kLeastEnd;
    if (!rest && goes_on) rest = without_neighbours(lattice, static_cast<int>(least - ends.begin()), seams);
    if (!rest || off == kSides) {
      lattice.fit = chance_of(lattice, *least) * (1 - most_likely(seams));
      return {lattice, goes_on, seams};
    }
    lattice = *rest;
  }
}

}  // namespace

double chance_of_one(const Lattice& lattice, const PhotoSenses& photo) {
  return photo.seams_in ? 1 - most_likely(photo.seams_in(lattice)) : 1;
}

bool is_likely(const Lattice& lattice) {
  return lattice.fit >= (lattice.odd_row_shift == 0 ? kLikely : kLikelyIfStaggered);
}

double chance_of_both(double one, double other) {
  constexpr double kAgreed = 2.2;
  return 1 / (1 + std::exp(-log_odds(one) - log_odds(other) - kAgreed));
}

bool has_hidden_end(const Lattice& lattice, const PhotoSenses& photo) {
  return std::ranges::min(photo.ends_of(lattice)) < kLeastEnd;
}

Sight weighed_by_ends(Sight sight, const PhotoSenses& photo) {
  std::vector<Lattice> candidates = std::exchange(sight.lattices, {});
  if (candidates.empty() && sight.partly) candidates = {*sight.partly};
  if (candidates.empty()) candidates = sight.guesses;
  sight.guesses.clear();
  for (const Lattice& candidate : candidates) {
    auto [lattice, goes_on, seams] = weighed(candidate, photo);
    if (is_likely(lattice) && !goes_on)
      sight.lattices.push_back(lattice);
    else
      sight.guesses.push_back(lattice);
    if (goes_on) sight.trouble = hidden_side(false);
    if (photo.seams_in && sight.lattices.size() == 1 && candidates.size() == 1)
      sight.seams = std::move(seams);
  }
  if (sight.guesses.empty() && !sight.lattices.empty()) sight.trouble.reset();
  if (!sight.guesses.empty() && !sight.trouble) sight.trouble = unclear({}, false);
  return sight;
}

Sight completed_by_ends(Sight sight, const PhotoSenses& photo) {
  if (!sight.partly) return sight;
  Lattice lattice = *sight.partly;
  const double least = std::ranges::min(photo.ends_of(lattice));
  lattice.fit = chance_of(lattice, least);
  if (least < kLeastEnd || !is_likely(lattice)) return sight;
  sight.lattices = {lattice};
  sight.partly.reset();
  sight.trouble.reset();
  return sight;
}

bool may_go_on(const Lattice& lattice, const std::function<bool(int side)>& is_butted,
               const PhotoSenses& photo) {
  const auto ends = photo.ends_of(lattice);
  for (int side = 0; side < 4; ++side)
    if (ends[side] < kLeastEndAsStated && !is_butted(side)) return true;
  return false;
}

}  // namespace braird::vision
