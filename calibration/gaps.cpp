// SPDX-License-Identifier: Apache-2.0
#include "calibration/gaps.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "calibration/empty_cells.h"
#include "calibration/figure_words.h"
#include "calibration/missed_cells.h"
#include "calibration/overdispersion.h"

namespace braird {
namespace {

constexpr double kOneSidedLevel = 0.025;
constexpr double kClearlyLikelier = 2;  // difference of log-likelihoods

struct Sown {
  double rate = 0;
  int most_seeds = 0;
  std::size_t trays = 1;
  const GapContext& known;
};

bool is_sown(const CellCount& cell) {
  return cell.seeds > 0;
}

bool has_sown_cells(std::span<const std::vector<CellCount>> trays) {
  return std::ranges::any_of(trays, [](const auto& tray) { return std::ranges::any_of(tray, is_sown); });
}

std::string expectation(const GapExplanation& gaps, const Sown& sown) {
  const std::string germination =
      sown.trays > 1 ? "the germination of each tray" : percent(sown.rate) + " % germination";
  return fmt::format("{} against about {:.0f} expected at {}",
                     counted(gaps.seen, "empty cell", "empty cells"), gaps.expected, germination);
}

std::string cause_sentence(const GapExplanation& gaps, const Sown& sown) {
  if (gaps.cause == GapCause::missed_cells)
    return fmt::format(
        "it looks as if the sower missed about {} % of the cells, while the seeds that were sown "
        "came up at {} %.",
        percent(gaps.missed), percent(gaps.germination_where_sown));
  if (gaps.cause == GapCause::shared_fate)
    return "seeds of a cell fail together here (dry or cold patches, sown too deep, eaten), rather than "
           "cells being "
           "missed.";
  if (sown.known.lie_together)
    return "they lie together, so that dry or cold patches, or pests, are likelier than missed cells.";
  if (sown.most_seeds <= 2)
    return "missed by the sower, or failed together: with two seeds a cell the two can't be told apart.";
  return "missed by the sower, or failed together (dry, too deep, eaten): this tray can't tell which.";
}

std::string why_more(const GapExplanation& gaps, const Sown& sown) {
  const GapContext& known = sown.known;
  if (!has_sown_cells(known.elsewhere)) return cause_sentence(gaps, sown);
  const GapExplanation others = explain_gaps(known.elsewhere, {known.miscounted, known.lie_together});
  if (others.seen == 0) return fmt::format("all of them lie in {}.", known.standing_out);
  if (others.verdict == GapVerdict::cannot_tell) return cause_sentence(gaps, sown);
  return fmt::format("{} of them lie in {}, ", gaps.seen - others.seen, known.standing_out) +
         (others.verdict == GapVerdict::more ? "and the others are more, too: " + cause_sentence(others, sown)
                                             : "the others are no more than it explains.");
}

std::string say(const GapExplanation& gaps, const Sown& sown) {
  const std::string seen = expectation(gaps, sown);
  if (gaps.verdict == GapVerdict::cannot_tell)
    return fmt::format(
        "{}: {} than this germination explains, unless the counter is off; look at some of these cells.",
        seen, gaps.seen > gaps.usual.high ? "more gaps" : "fewer gaps");
  if (gaps.verdict == GapVerdict::explained) return seen + ": the germination explains the gaps.";
  if (gaps.verdict == GapVerdict::fewer)
    return seen + ": fewer gaps than this germination explains; was the number of seeds a cell right?";
  return seen + ": more gaps than this germination explains; " + why_more(gaps, sown);
}

GapVerdict judge(const GapExplanation& gaps, double miscounted) {
  if (gaps.p_more < kOneSidedLevel) return GapVerdict::more;
  if (gaps.p_fewer < kOneSidedLevel) return GapVerdict::fewer;
  const bool usual = gaps.seen >= gaps.usual.low && gaps.seen <= gaps.usual.high;
  return usual || miscounted == 0 ? GapVerdict::explained : GapVerdict::cannot_tell;
}

void hold_against(GapExplanation& gaps, const Spread& null, double miscounted) {
  gaps.usual = {quantile_of(kOneSidedLevel, null, gaps.cells),
                quantile_of(1 - kOneSidedLevel, null, gaps.cells)};
  gaps.p_more = chance_of_at_least(gaps.seen - miscounted, null);
  gaps.p_fewer = 1 - chance_of_at_least(gaps.seen + miscounted + 1, null);
  gaps.verdict = judge(gaps, miscounted);
}

using Trays = std::vector<std::vector<CellCount>>;

// Each tray has its own shares in either story.
void name_cause(GapExplanation& gaps, const Trays& trays, int most_seeds, const GapContext& known) {
  gaps.cause = GapCause::cannot_tell;
  if (most_seeds <= 2) return;
  double lead = 0, cells_missed = 0, cells = 0, seedlings = 0, sown = 0;
  for (const auto& tray : trays) {
    const MissedCellsFit missed = fit_missed_cells(tray);
    lead += missed.log_likelihood - fit_beta_binomial(tray).log_likelihood;
    cells += static_cast<double>(tray.size());
    cells_missed += missed.missed * static_cast<double>(tray.size());
    for (const CellCount& cell : tray) {
      sown += (1 - missed.missed) * cell.seeds;
      seedlings += (1 - missed.missed) * missed.germination * cell.seeds;
    }
  }
  if (lead < -kClearlyLikelier) gaps.cause = GapCause::shared_fate;
  if (lead <= kClearlyLikelier || known.lie_together) return;
  gaps.cause = GapCause::missed_cells;
  gaps.missed = cells_missed / cells;
  gaps.germination_where_sown = seedlings / sown;
}

struct GapTally {
  int cells = 0, empty = 0, most_seeds = 0;
  double seedlings = 0, seeds = 0, overfull = 0;
  double rate() const { return seedlings / seeds; }
};

GapTally tally(std::span<const std::vector<CellCount>> trays) {
  GapTally sum;
  for (const auto& tray : trays)
    for (const CellCount& cell : tray) {
      sum.cells += cell.seeds > 0;
      sum.empty += cell.seeds > 0 && cell.seedlings == 0;
      sum.most_seeds = std::max(sum.most_seeds, cell.seeds);
      sum.seedlings += cell.seedlings;
      sum.seeds += cell.seeds;
      sum.overfull += cell.seedlings > cell.seeds;
    }
  return sum;
}

GapExplanation as_seen(const GapTally& sum) {
  GapExplanation gaps;
  gaps.cells = sum.cells;
  gaps.seen = sum.empty;
  gaps.expected = sum.empty;
  gaps.usual = {gaps.expected, gaps.expected};
  gaps.germination_where_sown = sum.rate();
  return gaps;
}

GapExplanation unexplained(const GapTally& sum, std::string sentence) {
  GapExplanation gaps = as_seen(sum);
  gaps.sentence = std::move(sentence);
  return gaps;
}

Trays sown_trays(std::span<const std::vector<CellCount>> trays) {
  std::vector<CellCount> all;
  std::size_t cells = 0;
  for (const auto& tray : trays) cells += tray.size();
  all.reserve(cells);
  for (const auto& tray : trays) all.insert(all.end(), tray.begin(), tray.end());
  check(all);
  Trays sown;
  for (const auto& tray : trays)
    if (std::ranges::any_of(tray, is_sown)) sown.push_back(tray);
  return sown;
}

}  // namespace

GapExplanation explain_gaps(std::span<const CellCount> cells, const GapContext& known) {
  const std::vector<CellCount> tray(cells.begin(), cells.end());
  return explain_gaps(std::span(&tray, 1), known);
}

GapExplanation explain_gaps(std::span<const std::vector<CellCount>> trays, const GapContext& known) {
  Trays kept;
  const Trays sown = sown_trays(trays);
  for (const auto& tray : sown) {
    auto within = within_seeds(tray);
    if (!within) {
      const GapTally sum = tally(sown);
      return unexplained(
          sum,
          fmt::format("{} more seedlings than seeds sown, so it can't be said whether the gaps come from the "
                      "seed or from the sowing.",
                      counted(sum.overfull, "cell holds", "cells hold")));
    }
    kept.push_back(std::move(*within));
  }
  const GapTally sum = tally(kept);
  if (sum.most_seeds == 1)
    return unexplained(
        sum,
        "With one seed a cell every failed seed is a gap, so the gaps can't tell the seed from "
        "the sower.");
  GapExplanation gaps = as_seen(sum);
  gaps.expected = 0;
  Spread null;
  for (const auto& tray : kept) {
    const double rate = tally(std::span(&tray, 1)).rate();
    for (const CellCount& cell : tray) gaps.expected += std::pow(1 - rate, cell.seeds);
    const Spread of_tray = empty_cells_given_total(tray);
    null.mean += of_tray.mean, null.variance += of_tray.variance;
  }
  hold_against(gaps, null, known.miscounted);
  if (gaps.verdict == GapVerdict::more) name_cause(gaps, kept, sum.most_seeds, known);
  gaps.sentence = say(gaps, {sum.rate(), sum.most_seeds, kept.size(), known});
  return gaps;
}

}  // namespace braird
