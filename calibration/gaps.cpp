// SPDX-License-Identifier: Apache-2.0
#include "calibration/gaps.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "calibration/empty_cells.h"
#include "calibration/missed_cells.h"
#include "calibration/overdispersion.h"
#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kOneSidedLevel = 0.025;
constexpr double kClearlyLikelier = 2;  // difference of log-likelihoods

std::string cells_of(double count) {
  return fmt::format("{:.0f} empty cell{}", count, count == 1 ? "" : "s");
}

std::string expectation(const GapExplanation& gaps, double rate) {
  return fmt::format("{} against about {:.0f} expected at {:.0f} % germination", cells_of(gaps.seen),
                     gaps.expected, 100 * rate);
}

std::string cause_sentence(const GapExplanation& gaps, int most_seeds) {
  if (gaps.cause == GapCause::missed_cells)
    return fmt::format(
        "it looks as if the sower missed about {:.0f} % of the cells, while the seeds that were sown "
        "came up at {:.0f} %.",
        100 * gaps.missed, 100 * gaps.germination_where_sown);
  if (gaps.cause == GapCause::shared_fate)
    return "seeds of a cell fail together here (dry or cold patches, sown too deep, eaten), rather than "
           "cells being "
           "missed.";
  if (most_seeds <= 2)
    return "missed by the sower, or failed together: with two seeds a cell the two can't be told apart.";
  return "missed by the sower, or failed together (dry, too deep, eaten): this tray can't tell which.";
}

std::string say(const GapExplanation& gaps, double rate, int most_seeds) {
  const std::string seen = expectation(gaps, rate);
  if (gaps.verdict == GapVerdict::explained) return seen + ": the germination explains the gaps.";
  if (gaps.verdict == GapVerdict::fewer)
    return seen + ": fewer gaps than this germination explains; was the number of seeds a cell right?";
  return seen + ": more gaps than this germination explains; " + cause_sentence(gaps, most_seeds);
}

GapVerdict judge(const GapExplanation& gaps) {
  if (gaps.p_more < kOneSidedLevel) return GapVerdict::more;
  if (gaps.p_fewer < kOneSidedLevel) return GapVerdict::fewer;
  return GapVerdict::explained;
}

void hold_against(GapExplanation& gaps, const Spread& null) {
  gaps.usual = {quantile_of(kOneSidedLevel, null, gaps.cells),
                quantile_of(1 - kOneSidedLevel, null, gaps.cells)};
  gaps.p_more = chance_of_at_least(gaps.seen, null);
  gaps.p_fewer = 1 - chance_of_at_least(gaps.seen + 1, null);
  gaps.verdict = judge(gaps);
}

void name_cause(GapExplanation& gaps, std::span<const CellCount> cells, int most_seeds) {
  gaps.cause = GapCause::cannot_tell;
  if (most_seeds <= 2) return;
  const MissedCellsFit missed = fit_missed_cells(cells);
  const double lead = missed.log_likelihood - fit_beta_binomial(cells).log_likelihood;
  if (lead < -kClearlyLikelier) gaps.cause = GapCause::shared_fate;
  if (lead <= kClearlyLikelier) return;
  gaps.cause = GapCause::missed_cells;
  gaps.missed = missed.missed;
  gaps.germination_where_sown = missed.germination;
}

struct Tally {
  int cells = 0, empty = 0, most_seeds = 0;
  double seedlings = 0, seeds = 0, overfull = 0;
  double rate() const { return seedlings / seeds; }
};

Tally tally(std::span<const CellCount> cells) {
  Tally sum;
  for (const CellCount& cell : cells) {
    sum.cells += cell.seeds > 0;
    sum.empty += cell.seeds > 0 && cell.seedlings == 0;
    sum.most_seeds = std::max(sum.most_seeds, cell.seeds);
    sum.seedlings += cell.seedlings;
    sum.seeds += cell.seeds;
    sum.overfull += cell.seedlings > cell.seeds;
  }
  return sum;
}

GapExplanation as_seen(int cells, int empty, double rate) {
  GapExplanation gaps;
  gaps.cells = cells;
  gaps.seen = empty;
  gaps.expected = empty;
  gaps.usual = {static_cast<double>(empty), static_cast<double>(empty)};
  gaps.germination_where_sown = rate;
  return gaps;
}

GapExplanation unexplained(const Tally& sum, std::string sentence) {
  GapExplanation gaps = as_seen(sum.cells, sum.empty, sum.rate());
  gaps.sentence = std::move(sentence);
  return gaps;
}

}  // namespace

GapExplanation explain_gaps(std::span<const CellCount> cells) {
  check(cells);
  const auto kept = within_seeds(cells);
  if (!kept) {
    const Tally sum = tally(cells);
    return unexplained(
        sum, fmt::format("{:.0f} cells hold more seedlings than seeds were sown, so the gaps can't be "
                         "held against the germination.",
                         sum.overfull));
  }
  const Tally sum = tally(*kept);
  if (sum.most_seeds == 1)
    return unexplained(
        sum,
        "With one seed a cell every failed seed is a gap, so the gaps can't tell the seed from "
        "the sower.");
  GapExplanation gaps = as_seen(sum.cells, sum.empty, sum.rate());
  gaps.expected = 0;
  for (const CellCount& cell : *kept) gaps.expected += std::pow(1 - sum.rate(), cell.seeds);
  hold_against(gaps, empty_cells_given_total(*kept));
  if (gaps.verdict == GapVerdict::more) name_cause(gaps, *kept, sum.most_seeds);
  gaps.sentence = say(gaps, sum.rate(), sum.most_seeds);
  return gaps;
}

GapExplanation explain_gaps(std::span<const int> seedlings, const SeedDrop& drop) {
  require(!seedlings.empty(), "number of cells", seedlings.size(), "> 0");
  double sum = 0;
  int empty = 0;
  for (const int count : seedlings) {
    require(count >= 0, "seedlings", count, "≥ 0");
    sum += count;
    empty += count == 0;
  }
  const int cells = static_cast<int>(seedlings.size());
  const double rate = std::min(1.0, sum / cells / mean_seeds(drop));
  GapExplanation gaps = as_seen(cells, empty, rate);
  gaps.expected = cells * chance_of_gap(drop, rate);
  hold_against(gaps, empty_cells_under_drop(seedlings, drop));
  if (gaps.verdict == GapVerdict::more) gaps.cause = GapCause::cannot_tell;
  gaps.sentence = say(gaps, rate, static_cast<int>(drop.chance.size()));
  return gaps;
}

}  // namespace braird
