// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>

#include "vision/lattice_maps.h"
#include "vision/lattice_refine.h"
#include "vision/layout_search.h"
#include "vision/numbering.h"
#include "vision/tray_quad.h"

namespace braird::vision {
namespace {

constexpr double kLowestFit = 0.5;
constexpr double kPlain = 0.98;  // a fit that needs no other layout tried beside it
constexpr double kFewestPx = 12;  // a cell's side in the photo: a cotyledon of 3 mm is then 1 px
constexpr std::size_t kTried = 4;

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

/// The chance that a lattice is right, from how well it meets the map.
double fit_of(const Agreement& a) {
  const double z = 12 * (a.likeness - 0.45) + 6 * (a.met - 0.75) + 6 * (a.inside - 0.9) - 4 * (a.beyond - 0.3);
  return 1 / (1 + std::exp(-z));
}

/// A stated layout laid into the quad in every way it can lie.
std::vector<LayoutGuess> stated_guesses(const TrayQuad& quad, const Hints& hints) {
  std::vector<LayoutGuess> guesses;
  if (!hints.rows || !hints.cols) return guesses;
  const bool staggered = hints.lattice == LatticeKind::staggered;
  for (const int side : {0, 1})
    for (const double shift : staggered ? std::vector<double>{0.5, -0.5} : std::vector<double>{0.0})
      guesses.push_back({divide(quad, *hints.rows, *hints.cols, shift, side), 0});
  return guesses;
}

struct Candidate {
  Lattice lattice;
  Agreement agreement;
};

std::optional<Candidate> best_of(const LatticeMaps& maps, const std::vector<LayoutGuess>& guesses) {
  std::optional<Candidate> best;
  for (const LayoutGuess& guess : guesses) {
    Candidate tried{refine(maps, guess.lattice), {}};
    tried.agreement = compare(maps, tried.lattice);
    tried.lattice.fit = fit_of(tried.agreement);
    if (!best || tried.lattice.fit > best->lattice.fit) best = tried;
    if (best->lattice.fit > kPlain) break;
  }
  return best;
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

/// Adds the tray in the quad to the search, or a remark why not.
void examine(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints, LatticeSearch& search) {
  if (quad.cut_off) {
    search.remarks.push_back(
        fmt::format("a tray is cut off by the {} edge of the photo and was not counted", quad.cut_side));
    return;
  }
  const auto found = best_of(maps, worth_trying(maps, quad, hints));
  if (!found || found->lattice.fit < kLowestFit) {
    search.remarks.emplace_back("a tray was seen, but its rows and columns could not be made out");
    return;
  }
  if (!agrees(found->lattice, hints)) {
    search.remarks.push_back(fmt::format("the tray in the photo looks {}, not as stated",
                                         name_of_layout(layout_of(found->lattice))));
    return;
  }
  search.lattices.push_back(follow_creep(maps, found->lattice));
}

std::string why_none(const LatticeSearch& search) {
  if (search.remarks.empty())
    return "no tray seen; photograph one whole tray from straight above, its rim in the picture";
  const std::string& remark = search.remarks.front();
  if (remark.find("cut off") != std::string::npos) return remark + "; step back until the whole rim is in the picture";
  if (remark.find("looks") != std::string::npos) return remark + "; correct --tray or leave it out";
  return remark + "; photograph it from straight above in even light, or state its layout with --tray";
}

bool too_small(const std::vector<Lattice>& lattices) {
  return std::any_of(lattices.begin(), lattices.end(), [](const Lattice& lattice) {
    return pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0}) < kFewestPx;
  });
}

}  // namespace

LatticeSearch find_in_maps(const LatticeMaps& maps, const Hints& hints) {
  LatticeSearch search;
  for (const TrayQuad& quad : find_tray_quads(maps.region)) examine(maps, quad, hints, search);
  if (search.lattices.empty()) search.refusal = why_none(search);
  return search;
}

LatticeSearch find_lattices(const cv::Mat& bgr, const Hints& hints, const Trace& trace) {
  const LatticeMaps maps = read_lattice_maps(bgr, trace);
  LatticeSearch search = find_in_maps(maps, hints);
  for (Lattice& lattice : search.lattices)
    lattice = numbered(scaled(lattice, 1 / maps.map_from_photo), hints, bgr.size());
  if (too_small(search.lattices)) {
    search.lattices.clear();
    search.refusal = fmt::format("the cells are smaller than {} px; go nearer or send the photo in full size", kFewestPx);
  }
  return search;
}

}  // namespace braird::vision
