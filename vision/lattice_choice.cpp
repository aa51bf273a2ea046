// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice_choice.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/lattice_agreement.h"
#include "vision/lattice_refine.h"
#include "vision/layout_search.h"
#include "vision/parallel.h"
#include "vision/patch_layouts.h"

namespace braird::vision {
namespace {

constexpr std::size_t kTried = 8;
// Of the loudest rhythm: fainter ones were right in none of 256 painted trays.
constexpr double kFaintest = 0.2;
constexpr double kHopeless = 8;    // log odds behind the best, roughly laid: not worth more care
constexpr double kAstray = -1e6;   // of candidates whose geometry makes no sense
constexpr double kStatedOdds = 3;  // log odds that a grower's word of the layout adds to it
constexpr double kListedOdds = 1;  // and that standing in the list of trays does

/// How two looks at one place add up, being no independent witnesses: fitted to 201 quads of painted scenes
/// (seeds 45000000 …). Of 130 chosen at 0.75 and more 128 were right; the others were halves of one tray.
constexpr double kOfNearer = 0.78, kOfFarther = 0.33, kOfBoth = 1.09;

/// What each witness adds to the log odds.
struct EvidenceWeights {
  double none, likeness, met, edge, beyond, kind, aspect, gap, jump;
};

/// A conditional logit, one set of weights a kind of lattice, fitted to 320 painted scenes (seeds 5000000 …
/// and 5010000 …; 366 quads, 255 of them with the right lattice among the candidates). Of those chosen at
/// 0.97 and more all 165 were right on the half not fitted to; at 0.8 to 0.97, 90 %; at 0.5 to 0.8, 68 %.
constexpr EvidenceWeights kSquare{-17.07, 13.18, 6.55, 3.39, -6.82, 4.40, -12.68, -2.06, -4.68};
constexpr EvidenceWeights kStaggered{-24.02, 15.03, 13.74, 2.90, -9.69, 5.05, -18.86, -2.36, -6.03};

/// Log odds that a lattice is right against none being there, from how well it meets the maps.
double log_odds(const Agreement& a, double staggered, bool shifted) {
  const EvidenceWeights& w = shifted ? kStaggered : kSquare;
  return w.none + w.likeness * a.likeness + w.met * a.met + w.edge * std::min(1.0, a.edge) +
         w.beyond * std::min(1.0, a.beyond) + w.kind * (2 * staggered - 1) * (shifted ? 1 : -1) +
         w.aspect * std::min(1.0, a.aspect) + w.gap * std::min(1.5, a.gap) + w.jump * std::min(0.4, a.jump);
}

struct Candidate {
  LayoutGuess guess;
  const ReadPatch* patch = nullptr;  ///< from which it was read, if it was, and which of its cells
  PatchWindow window;
  double log_odds = 0;
};

double mean_within(const cv::Mat& map, const TrayQuad& quad) {
  std::vector<cv::Point> corners;
  for (const cv::Point2d& corner : quad.corners) corners.emplace_back(distort(quad.lens, corner));
  cv::Mat inside = cv::Mat::zeros(map.size(), CV_8U);
  cv::fillConvexPoly(inside, corners, 255);
  return cv::mean(map, inside)[0];
}

/// What all candidates of a quad are judged by.
struct Bench {
  const LatticeMaps& maps;
  const TrayQuad& quad;
  const Hints& hints;
  const LatticeMaps* farther;
  double staggered;
};

std::array<cv::Point2d, 4> corners_on(const LatticeMaps& other, const Bench& bench) {
  std::array<cv::Point2d, 4> corners;
  for (int i = 0; i < 4; ++i) corners[i] = on_maps(in_photo(bench.quad.corners[i], bench.maps), other);
  return corners;
}

/// Log odds by what a lattice's fit did not use, from all looks at it.
double witnessed(const Bench& bench, const Lattice& lattice) {
  const bool shifted = lattice.odd_row_shift != 0;
  const double near = log_odds(compare(bench.maps, lattice, bench.quad.corners), bench.staggered, shifted);
  if (!bench.farther) return near;
  const Lattice there = on_maps(in_photo(lattice, bench.maps), *bench.farther);
  const double far =
      log_odds(compare(*bench.farther, there, corners_on(*bench.farther, bench)), bench.staggered, shifted);
  return kOfBoth + kOfNearer * near + kOfFarther * far;
}

/// Log odds by what is known of the layout before the photo is looked at.
double prior_of(const Lattice& lattice, const Hints& hints) {
  const Layout layout = layout_of(lattice);
  if ((hints.rows || hints.lattice) && is_as_stated(layout, hints)) return kStatedOdds;
  return is_listed(layout, hints.known_layouts) ? kListedOdds : 0;
}

/// With its chances.
Candidate judged(const Bench& bench, Candidate candidate) {
  const Lattice& lattice = candidate.guess.lattice;
  candidate.log_odds = prior_of(lattice, bench.hints) + witnessed(bench, lattice);
  if (!std::isfinite(candidate.log_odds)) candidate.log_odds = kAstray;
  return candidate;
}

Candidate judged(const Bench& bench, LayoutGuess guess, Effort effort) {
  guess.lattice = refine(bench.maps, guess.lattice, effort);
  if (effort == Effort::full) guess.lattice = bend(bench.maps, guess.lattice);
  return judged(bench, Candidate{guess, nullptr, {}, 0});
}

Candidate judged(const Bench& bench, const ReadPatch& patch, const PatchWindow& window) {
  return judged(bench, Candidate{{laid(patch, window, bench.quad.lens), 0, 0}, &patch, window, 0});
}

/// All of them roughly laid; those that may still win (against `best` too) with care.
std::vector<Candidate> all_judged(const Bench& bench, const std::vector<LayoutGuess>& guesses, double best) {
  const auto rough =
      each(guesses, [&](const LayoutGuess& guess) { return judged(bench, guess, Effort::rough); });
  for (const Candidate& candidate : rough) best = std::max(best, candidate.log_odds);
  return each(rough, [&](const Candidate& candidate) {
    return candidate.log_odds > best - kHopeless ? judged(bench, candidate.guess, Effort::full) : candidate;
  });
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

/// The most rhythmic layouts, and the stated one.
std::vector<LayoutGuess> worth_trying(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints) {
  std::vector<LayoutGuess> guesses = rank_layouts(maps, quad);
  if (guesses.size() > kTried) guesses.resize(kTried);
  std::erase_if(guesses, [best = guesses.empty() ? 0 : guesses[0].score](const LayoutGuess& guess) {
    return guess.score < kFaintest * best;
  });
  for (const LayoutGuess& guess : stated_guesses(quad, hints)) guesses.push_back(guess);
  return guesses;
}

void add(std::vector<Candidate>& candidates, const std::vector<Candidate>& more) {
  candidates.insert(candidates.end(), more.begin(), more.end());
}

/// The best candidate of those that have the same cells, best first.
std::vector<Candidate> shapes_of(std::vector<Candidate> candidates) {
  std::sort(candidates.begin(), candidates.end(),
            [](const auto& a, const auto& b) { return a.log_odds > b.log_odds; });
  std::vector<Candidate> shapes;
  for (const Candidate& candidate : candidates)
    if (std::none_of(shapes.begin(), shapes.end(), [&](const Candidate& better) {
          return same_cells(better.guess.lattice, candidate.guess.lattice);
        }))
      shapes.push_back(candidate);
  return shapes;
}

/// Held against the neighbours of whatever leads, best first: a lattice that is wrong by one column is thus
/// always held against the right one.
std::vector<Candidate> against_neighbours(const Bench& bench, std::vector<Candidate> candidates) {
  constexpr int kRounds = 4;
  candidates = shapes_of(std::move(candidates));
  for (int round = 0; round < kRounds && !candidates.empty(); ++round) {
    const Candidate leader = candidates.front();
    if (leader.patch)
      add(candidates, each(neighbours(leader.window),
                           [&](const PatchWindow& window) { return judged(bench, *leader.patch, window); }));
    else
      add(candidates, all_judged(bench, neighbours(bench.quad, leader.guess), leader.log_odds));
    candidates = shapes_of(std::move(candidates));
    if (same_cells(candidates.front().guess.lattice, leader.guess.lattice)) break;
  }
  return candidates;
}

/// The best of what was read from patches and its neighbours, if the photo alone shows it so plainly that
/// nothing else need be tried.
std::vector<Candidate> plain_ones(const Bench& bench, const std::vector<Candidate>& from_patches) {
  // Log odds; in 225 of 225 quads of painted scenes nothing else led.
  constexpr double kPlain = 9, kAhead = 4;
  const auto shown = [&](const Candidate& candidate) {
    return candidate.log_odds - prior_of(candidate.guess.lattice, bench.hints);
  };
  if (bench.farther ||
      std::ranges::all_of(from_patches, [&](const Candidate& c) { return shown(c) < kPlain; }))
    return {};
  std::vector<Candidate> candidates = against_neighbours(bench, from_patches);
  const Candidate& best = candidates.front();
  const bool ahead = candidates.size() == 1 || candidates[1].log_odds <= shown(best) - kAhead;
  if (shown(best) < kPlain || !ahead || !is_as_stated(layout_of(best.guess.lattice), bench.hints)) return {};
  return candidates;
}

/// What a plain candidate's neighbours must count for to have the chance that it has where all is tried, in
/// the mean over 168 quads of painted scenes.
double weight_of_rivals(const Candidate& plain) {
  return plain.guess.lattice.odd_row_shift == 0 ? 0.25 : 2;
}

}  // namespace

bool is_listed(const Layout& layout, const std::vector<Layout>& known) {
  return std::any_of(known.begin(), known.end(), [&](const Layout& k) {
    return k.lattice == layout.lattice &&
           ((k.rows == layout.rows && k.cols == layout.cols) ||
            (layout.lattice == LatticeKind::square && k.rows == layout.cols && k.cols == layout.rows));
  });
}

bool is_as_stated(const Layout& seen, const Hints& hints) {
  if (hints.lattice && *hints.lattice != seen.lattice) return false;
  if (!hints.rows || !hints.cols) return true;
  if (*hints.rows == seen.rows && *hints.cols == seen.cols) return true;
  return seen.lattice == LatticeKind::square && *hints.rows == seen.cols && *hints.cols == seen.rows;
}

std::optional<LatticeChoice> choose_lattice(const LatticeMaps& maps, const TrayQuad& quad, const Hints& hints,
                                            const LatticeMaps* farther) {
  const Bench bench{maps, quad, hints, farther, mean_within(maps.staggered, quad)};
  std::vector<ReadPatch> patches;
  for (const Patch& patch : quad.patches ? *quad.patches : grow_patches(maps, quad))
    patches.push_back(read_patch(patch, quad));
  const auto from_patches =
      each(patches, [&](const ReadPatch& patch) { return judged(bench, patch, fullest_window(patch)); });
  std::vector<Candidate> candidates = plain_ones(bench, from_patches);
  const bool plain = !candidates.empty();
  if (!plain) {
    candidates = all_judged(bench, worth_trying(maps, quad, hints), -1e9);
    add(candidates, from_patches);
    candidates = against_neighbours(bench, std::move(candidates));
  }
  if (candidates.empty()) return std::nullopt;
  double against = std::exp(-candidates.front().log_odds);
  const double weight = plain ? weight_of_rivals(candidates.front()) : 1;
  for (std::size_t i = 1; i < candidates.size(); ++i)
    against += weight * std::exp(candidates[i].log_odds - candidates.front().log_odds);
  LatticeChoice choice{candidates.front().guess.lattice, std::nullopt};
  choice.lattice.fit = 1 / (1 + against);
  if (candidates.size() > 1) choice.rival = layout_of(candidates[1].guess.lattice);
  return choice;
}

}  // namespace braird::vision
