// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <stdexcept>
#include <variant>

#include "vision/lattice_agreement.h"
#include "vision/lattice_maps.h"
#include "vision/lattice_refine.h"
#include "vision/layout_search.h"
#include "vision/numbering.h"
#include "vision/tray_quad.h"

namespace braird::vision {
namespace {

constexpr double kLowestFit = 0.5;
constexpr double kFewestPx = 12;  // a cell's side in the photo: a cotyledon of 3 mm is then 1 px
constexpr std::size_t kTried = 8;
constexpr double kStatedOdds = 3;  // log odds that a grower's word of the layout adds to it

bool agrees(const Lattice& lattice, const Hints& hints) {
  const Layout seen = layout_of(lattice);
  if (hints.lattice && *hints.lattice != seen.lattice) return false;
  if (!hints.rows || !hints.cols) return true;
  if (*hints.rows == seen.rows && *hints.cols == seen.cols) return true;
  return seen.lattice == LatticeKind::square && *hints.rows == seen.cols && *hints.cols == seen.rows;
}

std::string name_of_layout(const Layout& layout) {
  return fmt::format("{}×{} {}", layout.rows, layout.cols, name_of(layout.lattice));
}

/// Log odds that a lattice is right against none being there, from how well it meets the maps. Set by hand,
/// with painted and drawn scenes and five of the measuring photos in view: right lattices were alike 0.42 …
/// 0.9, their edges 0.79 and more of the middle, at most 0.2 of it beyond; a column too many or too few
/// leaves half a side dark or bright. Not yet calibrated on scenes of their own.
double log_odds(const Agreement& a, double staggered, bool shifted) {
  return 25 * (a.likeness - 0.4) + 4 * (a.met - 0.75) + 8 * (a.edge - 0.8) - 12 * (a.beyond - 0.15) +
         1.5 * (2 * staggered - 1) * (shifted ? 1 : -1);
}

/// A stated layout laid into the quad in every way it can lie.
std::vector<LayoutGuess> stated_guesses(const TrayQuad& quad, const Hints& hints) {
  std::vector<LayoutGuess> guesses;
  if (!hints.rows || !hints.cols) return guesses;
  const bool staggered = hints.lattice == LatticeKind::staggered;
  for (const int side : {0, 1})
    for (const double shift : staggered ? std::vector<double>{0.5, -0.5} : std::vector<double>{0.0})
      guesses.push_back({divide(quad, *hints.rows, *hints.cols, shift, side), side, 0});
  return guesses;
}

double mean_within(const cv::Mat& map, const TrayQuad& quad) {
  std::vector<cv::Point> corners;
  for (const cv::Point2d& corner : quad.corners) corners.emplace_back(distort(quad.lens, corner));
  cv::Mat inside = cv::Mat::zeros(map.size(), CV_8U);
  cv::fillConvexPoly(inside, corners, 255);
  return cv::mean(map, inside)[0];
}

struct Candidate {
  LayoutGuess guess;  ///< its lattice refined
  double log_odds = 0;
};

bool same_shape(const Lattice& a, const Lattice& b) {
  const bool both_square = a.odd_row_shift == 0 && b.odd_row_shift == 0;
  return (a.rows == b.rows && a.cols == b.cols && a.odd_row_shift == b.odd_row_shift) ||
         (both_square && a.rows == b.cols && a.cols == b.rows);
}

const Candidate& best_of(const std::vector<Candidate>& candidates) {
  return *std::max_element(candidates.begin(), candidates.end(),
                           [](const auto& a, const auto& b) { return a.log_odds < b.log_odds; });
}

/// Whether another candidate of the same shape fits better; of equals, the first one stands for its shape.
bool is_outdone(const std::vector<Candidate>& candidates, std::size_t i) {
  for (std::size_t j = 0; j < candidates.size(); ++j) {
    const bool better = candidates[j].log_odds > candidates[i].log_odds ||
                        (candidates[j].log_odds == candidates[i].log_odds && j < i);
    if (better && same_shape(candidates[j].guess.lattice, candidates[i].guess.lattice)) return true;
  }
  return false;
}

/// The best candidate, its fit being its chance against all other shapes and against there being none.
Lattice chosen_from(const std::vector<Candidate>& candidates) {
  const Candidate& best = best_of(candidates);
  double rivals = std::exp(-best.log_odds);
  for (std::size_t i = 0; i < candidates.size(); ++i)
    if (!is_outdone(candidates, i) && !same_shape(candidates[i].guess.lattice, best.guess.lattice))
      rivals += std::exp(candidates[i].log_odds - best.log_odds);
  Lattice chosen = best.guess.lattice;
  chosen.fit = 1 / (1 + rivals);
  return chosen;
}

/// Tries the guesses, then the neighbours of whatever leads: a lattice that is wrong by one column is thus
/// always held against the right one.
std::optional<Lattice> choose(const LatticeMaps& maps, const TrayQuad& quad,
                              const std::vector<LayoutGuess>& guesses, const Hints& hints) {
  const double staggered = mean_within(maps.staggered, quad);
  std::vector<Candidate> candidates;
  const auto try_all = [&](const std::vector<LayoutGuess>& more) {
    for (LayoutGuess guess : more) {
      guess.lattice = refine(maps, guess.lattice);
      const double stated = hints.rows && agrees(guess.lattice, hints) ? kStatedOdds : 0;
      const bool shifted = guess.lattice.odd_row_shift != 0;
      candidates.push_back({guess, stated + log_odds(compare(maps, guess.lattice), staggered, shifted)});
    }
  };
  try_all(guesses);
  if (candidates.empty()) return std::nullopt;
  for (int round = 0; round < 2; ++round) {
    const LayoutGuess leader = best_of(candidates).guess;
    try_all(neighbours(quad, leader));
    if (same_shape(best_of(candidates).guess.lattice, leader.lattice)) break;
  }
  return chosen_from(candidates);
}

/// The most rhythmic layouts; among them those that agree with what was stated, if any does.
std::vector<LayoutGuess> worth_trying(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints) {
  std::vector<LayoutGuess> guesses = rank_layouts(maps, quad), agreeing;
  for (const LayoutGuess& guess : guesses)
    if (agrees(guess.lattice, hints)) agreeing.push_back(guess);
  if (!agreeing.empty()) guesses = agreeing;
  if (guesses.size() > kTried) guesses.resize(kTried);
  if (agreeing.empty())
    for (const LayoutGuess& guess : stated_guesses(quad, hints)) guesses.push_back(guess);
  return guesses;
}

/// Why a tray that was seen is not counted, and what to do about it.
struct Trouble {
  std::string reason, remedy;
};

/// The lattice of the tray in the quad, or what stands in its way.
std::variant<Lattice, Trouble> examine(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints) {
  const std::string step_back = "step back until the whole rim is in the picture";
  if (!quad.cut_side.empty())
    return Trouble{
        fmt::format("a tray is cut off by the {} edge of the photo and was not counted", quad.cut_side),
        step_back};
  const auto found = choose(maps, quad, worth_trying(maps, quad, hints), hints);
  if (!found || found->fit < kLowestFit)
    return Trouble{"a tray was seen, but its rows and columns could not be made out",
                   "photograph it from straight above in even light, or state its layout with --tray"};
  if (!agrees(*found, hints))
    return Trouble{
        fmt::format("the tray in the photo looks {}, not as stated", name_of_layout(layout_of(*found))),
        "correct --tray or leave it out"};
  if (has_hidden_side(maps, *found, quad.corners))
    return Trouble{"a tray is partly hidden or cut off along a row and was not counted", step_back};
  return follow_creep(maps, *found);
}

bool too_small(const std::vector<Lattice>& lattices) {
  return std::any_of(lattices.begin(), lattices.end(), [](const Lattice& lattice) {
    return pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0}) < kFewestPx;
  });
}

/// With the frame's middle, from which plants lean away.
Lattice in_photo(Lattice lattice, cv::Size photo) {
  lattice.lens = {
      {(photo.width - 1) / 2.0, (photo.height - 1) / 2.0}, std::hypot(photo.width, photo.height) / 2, 0};
  return lattice;
}

}  // namespace

Lattice lattice_from_corners(const Hints& hints) {
  Lattice lattice;
  lattice.rows = *hints.rows;
  lattice.cols = *hints.cols;
  lattice.odd_row_shift = hints.lattice == LatticeKind::staggered ? 0.5 : 0;
  lattice.fit = 1;
  const int last_row = lattice.rows - 1, last_col = lattice.cols - 1;
  std::array<cv::Point2f, 4> from{tray_point(lattice, 0, 0), tray_point(lattice, 0, last_col),
                                  tray_point(lattice, last_row, last_col), tray_point(lattice, last_row, 0)};
  std::array<cv::Point2f, 4> to;
  for (int i = 0; i < 4; ++i)
    to[i] = {static_cast<float>((*hints.corners)[i].x), static_cast<float>((*hints.corners)[i].y)};
  for (int i = 0; i < 4; ++i)
    if ((to[(i + 1) % 4] - to[i]).cross(to[(i + 2) % 4] - to[(i + 1) % 4]) <= 0)
      throw std::invalid_argument(
          "the corners must go clockwise: first row's first and last cell, last row's last and first");
  lattice.photo_from_plane = cv::getPerspectiveTransform(from.data(), to.data());
  return lattice;
}

LatticeSearch find_in_maps(const LatticeMaps& maps, const Hints& hints) {
  LatticeSearch search;
  std::string refusal = "no tray seen; photograph one whole tray from straight above, its rim in the picture";
  for (const TrayQuad& quad : find_tray_quads(maps.region, maps.frame)) {
    const auto result = examine(maps, quad, hints);
    if (const auto* lattice = std::get_if<Lattice>(&result)) {
      search.lattices.push_back(*lattice);
      continue;
    }
    const auto& trouble = std::get<Trouble>(result);
    if (search.remarks.empty()) refusal = trouble.reason + "; " + trouble.remedy;
    search.remarks.push_back(trouble.reason);
  }
  if (search.lattices.empty()) search.refusal = refusal;
  return search;
}

LatticeSearch find_lattices(const cv::Mat& bgr, const Hints& hints, const Trace& trace) {
  if (hints.corners && hints.rows && hints.cols)
    return {{in_photo(lattice_from_corners(hints), bgr.size())},
            "",
            {"the cells were laid through the stated corners"}};
  const LatticeMaps maps = read_lattice_maps(bgr, trace);
  LatticeSearch search = find_in_maps(maps, hints);
  for (Lattice& lattice : search.lattices)
    lattice = numbered(scaled(lattice, 1 / maps.map_from_photo), hints, bgr.size());
  if (too_small(search.lattices)) {
    search.lattices.clear();
    search.refusal =
        fmt::format("the cells are smaller than {} px; go nearer or send the photo in full size", kFewestPx);
  }
  return search;
}

}  // namespace braird::vision
