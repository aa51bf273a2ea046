// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice.h"

#include <fmt/format.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "vision/butted.h"
#include "vision/lattice_maps.h"
#include "vision/lattice_trouble.h"
#include "vision/like_trays.h"
#include "vision/lying_across.h"
#include "vision/numbering.h"
#include "vision/second_look.h"
#include "vision/stated_corners.h"
#include "vision/tray_quad.h"
#include "vision/whole_tray.h"

namespace braird::vision {
namespace {

constexpr double kFewestPx = 12;  // a cell's side in the photo: a cotyledon of 3 mm is then 1 px

double cell_px(const Lattice& lattice) {
  return pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0});
}

/// Fewest pixels that a cell of these lattices spans; 0 without any.
double smallest_cell(const std::vector<Lattice>& lattices) {
  double least = lattices.empty() ? 0 : 1e9;
  for (const Lattice& lattice : lattices) least = std::min(least, cell_px(lattice));
  return least;
}

/// The first trouble is the refusal, should nothing be found.
void remark(LatticeSearch& search, const Trouble& trouble) {
  if (search.remarks.empty()) search.refusal = in_words(trouble);
  search.remarks.push_back(trouble.reason);
  search.blurry |= trouble.blurry;
}

void drop(LatticeSearch& search, std::size_t at) {
  search.lattices.erase(search.lattices.begin() + static_cast<std::ptrdiff_t>(at));
}

void refuse_parts(LatticeSearch& search, const std::vector<Looked>& looked, const LatticeMaps& maps,
                  const PhotoSenses& photo) {
  const std::vector<Lattice> all = std::exchange(search.lattices, {});
  for (const Lattice& lattice : all)
    if (may_go_on_across(lattice, all, looked, maps, photo))
      remark(search, perhaps_part(layout_of(lattice)));
    else
      search.lattices.push_back(lattice);
}

/// Which of two trays at odds is right can't be told: neither is counted.
void refuse_odd_pairs(LatticeSearch& search) {
  while (const auto pair = at_odds(search.lattices)) {
    const auto [one, other] = *pair;
    remark(search, alike_but_for_rows(layout_of(search.lattices[one]), layout_of(search.lattices[other])));
    drop(search, other);
    drop(search, one);
  }
}

void refuse_several_in_one(LatticeSearch& search, const std::vector<Layout>& known) {
  std::erase_if(search.lattices, [&](const Lattice& lattice) {
    const bool several = several_of_a_make(layout_of(lattice), known);
    if (several) remark(search, perhaps_several(layout_of(lattice)));
    return several;
  });
  while (const auto pair = several_in_one(search.lattices)) {
    const auto [whole, part] = *pair;
    remark(search, perhaps_several(layout_of(search.lattices[whole]), layout_of(search.lattices[part])));
    drop(search, whole);
  }
}

/// Whether a tray's side is where another one is butted against it, so that no end need show.
bool is_butted(const std::vector<Lattice>& lattices, std::size_t at, int side) {
  return std::ranges::any_of(lattices, [&](const Lattice& other) {
    return &other != &lattices[at] && goes_on_in(lattices[at], side, other);
  });
}

/// A tray as stated that may go on beyond one of its sides, unseen, isn't counted.
void refuse_hidden(LatticeSearch& search, const PhotoSenses& photo) {
  const std::vector<Lattice> all = std::exchange(search.lattices, {});
  bool by_word = false;
  for (std::size_t at = 0; at < all.size(); ++at) {
    const auto butted = [&](int side) {
      const bool known = is_butted(all, at, side);
      by_word |= known;
      return known;
    };
    if (may_go_on(all[at], butted, photo))
      remark(search, hidden_side(true));
    else
      search.lattices.push_back(all[at]);
  }
  if (by_word && !search.lattices.empty())
    search.remarks.emplace_back(
        "where trays that touch end doesn't show, so they were told apart as --tray says");
}

/// What `find_in_maps` finds; the refusal is what it would be if nothing were left of it.
LatticeSearch search_maps(const LatticeMaps& maps, const Hints& hints, const PhotoSenses& photo) {
  LatticeSearch search;
  search.refusal = "no tray seen; photograph one whole tray from straight above, its rim in the picture";
  std::vector<Looked> looked = look_through(maps, hints, photo);
  if (photo.look_again && wants_second_look(looked, hints))
    looked = both_looks(std::move(looked), look_through(photo.look_again(), hints, photo), hints, photo);
  for (const Looked& place : looked)
    for (const Sight& sight : place.sights) {
      if (sight.trouble) remark(search, *sight.trouble);
      search.lattices.insert(search.lattices.end(), sight.lattices.begin(), sight.lattices.end());
    }
  search.lattices = each_once(search.lattices);
  if (photo.ends_of && hints.rows && hints.cols) refuse_hidden(search, photo);
  if (!hints.rows) {
    refuse_odd_pairs(search);
    refuse_parts(search, looked, maps, photo);
    refuse_several_in_one(search, hints.known_layouts);
  }
  return search;
}

LatticeSearch without_refusal_if_found(LatticeSearch search) {
  if (!search.lattices.empty()) search.refusal.clear();
  return search;
}

/// Trays whose cells are too small to see seedlings in aren't counted.
void leave_out_small(LatticeSearch& search) {
  if (!std::erase_if(search.lattices, [](const Lattice& lattice) { return cell_px(lattice) < kFewestPx; }))
    return;
  const bool others = !search.lattices.empty();
  const std::string reason =
      fmt::format("{} cells are {:.1f} px wide in the photo, and {:.0f} are needed",
                  others ? "a tray was not counted: its" : "the", search.cell_px, kFewestPx);
  if (others)
    search.remarks.push_back(reason);
  else
    search.refusal = reason + "; go nearer or send the photo in full size";
}

}  // namespace

LatticeSearch find_in_maps(const LatticeMaps& maps, const Hints& hints, const PhotoSenses& photo) {
  return without_refusal_if_found(search_maps(maps, hints, photo));
}

LatticeSearch find_lattices(const cv::Mat& bgr, const Hints& hints, const Trace& trace) {
  return find_lattices(bgr, read_lattice_maps(bgr, trace), hints, trace);
}

LatticeSearch find_lattices(const cv::Mat& bgr, const LatticeMaps& maps, const Hints& hints,
                            const Trace& trace) {
  LatticeSearch search;
  if (is_laid_by_hand(hints)) {
    search = laid_by_hand(bgr, maps, hints, trace);
  } else {
    search = without_refusal_if_found(search_maps(maps, hints, senses_of(bgr, maps, hints, trace)));
    for (Lattice& lattice : search.lattices) lattice = numbered(lattice, hints);
    search.lattices = in_reading_order(std::move(search.lattices));
    if (search.lattices.empty() && !maps.fault.empty()) search.refusal = maps.fault;
  }
  search.cell_px = smallest_cell(search.lattices);
  leave_out_small(search);
  return search;
}

}  // namespace braird::vision
