// SPDX-License-Identifier: Apache-2.0
#include "vision/sight.h"

#include <algorithm>
#include <iterator>

#include "vision/lattice_agreement.h"
#include "vision/lattice_refine.h"
#include "vision/numbering.h"

namespace braird::vision {
namespace {

constexpr double kLowestFit = 0.75;  // below, half of the painted lattices that would be chosen are wrong
constexpr double kClear = 0.95;
constexpr double kVeryClear = 0.98;  // and another one that shows something else doesn't matter

/// Trays butted together look like one that is a whole number of times as large as the stated layout.
std::vector<Lattice> parts_as_stated(const LatticeMaps& maps, const Lattice& whole, const Hints& hints) {
  std::vector<Lattice> parts;
  if (!hints.rows || !hints.cols) return parts;
  if (whole.odd_row_shift != 0 || hints.lattice == LatticeKind::staggered) return parts;
  for (const auto& [rows, cols] :
       {std::pair(*hints.rows, *hints.cols), std::pair(*hints.cols, *hints.rows)}) {
    const bool down = whole.cols == cols && whole.rows % rows == 0;
    const bool across = whole.rows == rows && whole.cols % cols == 0;
    if (!down && !across) continue;
    for (int first = 0; first < (down ? whole.rows : whole.cols); first += down ? rows : cols) {
      Lattice part = whole;
      part.rows = rows, part.cols = cols;
      part.photo_from_plane =
          whole.photo_from_plane * cv::Matx33d(1, 0, down ? 0 : first, 0, 1, down ? first : 0, 0, 0, 1);
      (down ? part.creep.extent.y : part.creep.extent.x) -= first;
      parts.push_back(follow_creep(maps, refine(maps, part)));
    }
    return parts;
  }
  return parts;
}

Sight seen(const LatticeMaps& maps, const std::vector<Lattice>& found) {
  Sight sight;
  for (const Lattice& lattice : found) sight.lattices.push_back(in_photo(lattice, maps));
  return sight;
}

Sight cut_at(const std::string& side) {
  Sight sight;
  sight.trouble = cut_off(side);
  sight.goes_on = true;
  return sight;
}

/// What comes of the likeliest lattice in a quad.
Sight judged(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints, const LatticeChoice& choice) {
  const Lattice& found = choice.lattice;
  const std::string side = side_left(found, maps.frame);
  if (!is_sure(found)) {
    Sight unsure{{}, unclear(choice, hints.rows.has_value())};
    if (side.empty()) unsure.guesses = {in_photo(follow_creep(maps, found), maps)};
    return unsure;
  }
  if (!is_as_stated(layout_of(found), hints)) {
    const auto parts = parts_as_stated(maps, found, hints);
    if (!parts.empty()) return seen(maps, parts);
    Trouble trouble = not_as_stated(layout_of(numbered(in_photo(found, maps), {})), hints);
    trouble.blurry = !is_clear(found);
    return {{}, trouble};
  }
  if (!side.empty()) return cut_at(side);
  const Lattice crept = follow_creep(maps, found);
  if (!has_hidden_side(maps, found, quad.corners)) return seen(maps, {crept});
  Sight partly{{}, hidden_side(hints.rows.has_value())};
  partly.partly = in_photo(crept, maps);
  return partly;
}

}  // namespace

Sight examine(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints, const LatticeMaps* farther) {
  if (!quad.cut_side.empty()) return cut_at(quad.cut_side);
  const auto choice = choose_lattice(maps, quad, hints, farther);
  if (!choice) return {{}, unclear(choice, hints.rows.has_value())};
  Sight sight = judged(maps, quad, hints, *choice);
  sight.leading = in_photo(choice->lattice, maps);
  return sight;
}

bool is_sure(const Lattice& lattice) {
  return lattice.fit >= kLowestFit;
}

bool is_clear(const Lattice& lattice) {
  return lattice.fit >= kClear;
}

bool is_blurry(const Sight& sight) {
  return (sight.trouble && sight.trouble->blurry) || !std::ranges::all_of(sight.lattices, is_clear);
}

/// What a sight found, and guesses with at least this chance.
static std::vector<Lattice> leading_in(const Sight& sight, double least) {
  std::vector<Lattice> leading = sight.lattices;
  std::ranges::copy_if(sight.guesses, std::back_inserter(leading),
                       [&](const Lattice& guess) { return guess.fit >= least; });
  return leading;
}

static bool has_all(const std::vector<Lattice>& lattices, const std::vector<Lattice>& wanted) {
  return std::ranges::all_of(wanted, [&](const Lattice& one) {
    return std::ranges::any_of(lattices, [&](const Lattice& other) { return same_cells(one, other); });
  });
}

Sight settled(const Sight& first, const Sight& nearer) {
  constexpr double kNoise = 0.4, kGood = 0.8;  // fits of lattices that were only guessed at; guesses
  const std::vector<Lattice> there = leading_in(first, kGood), here = leading_in(nearer, kNoise);
  const bool confirmed = has_all(here, first.lattices) || here.empty();
  if (nearer.lattices.empty()) return first.lattices.empty() || confirmed ? first : nearer;
  if (!first.lattices.empty() && confirmed) return first;
  const bool clear =
      std::ranges::all_of(nearer.lattices, [](const Lattice& l) { return l.fit >= kVeryClear; });
  if (clear || has_all(nearer.lattices, there)) return nearer;
  return {{}, unclear({}, false), here};
}

}  // namespace braird::vision
