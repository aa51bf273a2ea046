// SPDX-License-Identifier: Apache-2.0
#include "calibration/gaps.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>
#include <map>
#include <vector>

#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kOneSidedLevel = 0.025;
constexpr double kMostOverfull = 0.05;

struct Sowing {
  std::map<int, double> cells_with;  // seeds in a cell → number of such cells
  double cells = 0, seeds = 0, seedlings = 0, empty = 0, overfull = 0;
};

Sowing tally(std::span<const CellCount> cells) {
  Sowing sowing;
  for (const CellCount& cell : cells) {
    if (cell.seeds == 0) continue;
    ++sowing.cells_with[cell.seeds];
    ++sowing.cells;
    sowing.seeds += cell.seeds;
    sowing.seedlings += std::min(cell.seedlings, cell.seeds);
    sowing.empty += cell.seedlings == 0;
    sowing.overfull += cell.seedlings > cell.seeds;
  }
  return sowing;
}

// Chance that `wanted` given seeds all lie among the failed ones, when `failed` of `seeds` failed at random.
double all_fail(double wanted, double failed, double seeds) {
  if (wanted > failed) return 0;
  return std::exp(std::lgamma(failed + 1) - std::lgamma(failed - wanted + 1) - std::lgamma(seeds + 1) +
                  std::lgamma(seeds - wanted + 1));
}

struct Moments {
  double mean = 0;
  double variance = 0;
};

// Exact mean and variance of the number of empty cells given the tray's total of seedlings.
Moments empties_given_total(const Sowing& sowing) {
  const double failed = sowing.seeds - sowing.seedlings;
  Moments empties;
  double pairs = 0;
  for (const auto& [n, cells] : sowing.cells_with) {
    empties.mean += cells * all_fail(n, failed, sowing.seeds);
    for (const auto& [other_n, others] : sowing.cells_with)
      pairs += cells * (others - (n == other_n)) * all_fail(n + other_n, failed, sowing.seeds);
  }
  empties.variance = std::max(0.0, pairs + empties.mean - empties.mean * empties.mean);
  return empties;
}

// P(X ≥ count) for the binomial (of any real size) with these moments; empties of a tray spread less than Poisson.
double chance_at_least(double count, Moments of) {
  if (count <= 0) return 1;
  if (of.mean <= 0) return 0;
  const double share = 1 - of.variance / of.mean;
  if (share < 1e-9) return boost::math::gamma_p(count, of.mean);
  const double size = of.mean / share;
  return count >= size + 1 ? 0 : boost::math::ibeta(count, size - count + 1, share);
}

double quantile(double share, Moments of, double most) {
  double count = 0;
  while (count < most && 1 - chance_at_least(count + 1, of) < share) ++count;
  return count;
}

GapVerdict judge(const GapExplanation& gaps) {
  if (gaps.p_more < kOneSidedLevel) return GapVerdict::more;
  if (gaps.p_fewer < kOneSidedLevel) return GapVerdict::fewer;
  return GapVerdict::explained;
}

std::string cells_of(double count) { return fmt::format("{:.0f} empty cell{}", count, count == 1 ? "" : "s"); }

std::string say(const GapExplanation& gaps, double rate, int most_seeds) {
  const std::string seen = fmt::format("{} against about {:.0f} expected at {:.0f} % germination",
                                       cells_of(gaps.seen), gaps.expected, 100 * rate);
  switch (gaps.verdict) {
    case GapVerdict::explained:
      return seen + ": the germination explains the gaps.";
    case GapVerdict::fewer:
      return seen + ": fewer gaps than this germination explains; was the number of seeds a cell right?";
    case GapVerdict::more:
      return seen + ": more gaps than this germination explains; something hit whole cells" +
             (most_seeds <= 2 ? " (missed by the sower, or failed together: two seeds a cell can't tell)."
                              : " (missed by the sower, dry, too deep, eaten).");
    case GapVerdict::cannot_tell:
      break;
  }
  return "";
}

GapExplanation unexplained(const Sowing& sowing, std::string sentence) {
  GapExplanation gaps;
  gaps.cells = static_cast<int>(sowing.cells);
  gaps.seen = static_cast<int>(sowing.empty);
  gaps.expected = sowing.empty;
  gaps.usual = {sowing.empty, sowing.empty};
  gaps.sentence = std::move(sentence);
  return gaps;
}

GapExplanation compare(const Sowing& sowing) {
  const Moments null = empties_given_total(sowing);
  const double rate = sowing.seedlings / sowing.seeds;
  GapExplanation gaps;
  gaps.cells = static_cast<int>(sowing.cells);
  gaps.seen = static_cast<int>(sowing.empty);
  for (const auto& [n, cells] : sowing.cells_with) gaps.expected += cells * std::pow(1 - rate, n);
  gaps.usual = {quantile(kOneSidedLevel, null, sowing.cells), quantile(1 - kOneSidedLevel, null, sowing.cells)};
  gaps.p_more = chance_at_least(gaps.seen, null);
  gaps.p_fewer = 1 - chance_at_least(gaps.seen + 1, null);
  gaps.verdict = judge(gaps);
  gaps.sentence = say(gaps, rate, sowing.cells_with.rbegin()->first);
  return gaps;
}

}  // namespace

GapExplanation explain_gaps(std::span<const CellCount> cells) {
  germination_rate(cells);  // refuses nonsense with its own sentence
  const Sowing sowing = tally(cells);
  if (sowing.overfull > kMostOverfull * sowing.cells)
    return unexplained(sowing, fmt::format("{:.0f} cells hold more seedlings than seeds were sown, so the gaps can't be "
                                           "held against the germination.", sowing.overfull));
  if (sowing.cells_with.rbegin()->first == 1)
    return unexplained(sowing, "With one seed a cell every failed seed is a gap, so the gaps can't tell the seed "
                               "from the sower.");
  return compare(sowing);
}

}  // namespace braird
