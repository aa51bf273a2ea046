// SPDX-License-Identifier: Apache-2.0
#include "cli/lot_detail.h"

#include <algorithm>
#include <cmath>

#include "calibration/advice.h"
#include "calibration/overdispersion.h"

namespace braird::cli {
namespace {

constexpr int kMostSeedsToTry = 12;
constexpr double kMostEmpty = 0.05;

/// Beta-binomial with the lot's germination and ρ.
std::optional<int> fewest_seeds(const LotReport& report) {
  if (!report.germination_rate || report.germination_rate->estimate > 1) return std::nullopt;
  const double rho = report.overdispersion ? report.overdispersion->rho : 0;
  for (int seeds = 1; seeds <= kMostSeedsToTry; ++seeds)
    if (beta_binomial_chances(seeds, report.germination_rate->estimate, std::min(rho, 0.99))[0] <= kMostEmpty)
      return seeds;
  return std::nullopt;
}

/// As `count` says when to wait.
std::optional<int> more_until(const ledger::LotSummary& summary) {
  if (!summary.facts.crop || summary.sowings.empty()) return std::nullopt;
  const CropProfile* crop = find_crop(built_in_profiles(), *summary.facts.crop);
  const auto counted_on = summary.sowings.back().last_day;
  const int day = crop ? telling_day(*crop) : 0;
  return counted_on && std::floor(*counted_on) < day ? std::optional(day) : std::nullopt;
}

}  // namespace

LotDetail detail_of(const ledger::Ledger& ledger, const ledger::KeptLot& kept) {
  LotDetail detail;
  detail.summary = ledger::summarise(ledger, kept);
  detail.decisions = kept.decisions;
  detail.courses = ledger::courses_of(kept);
  const Lot lot = ledger::as_lot(kept);
  if (!lot.trays.empty()) detail.report = report_on(lot);
  detail.more_until = more_until(detail.summary);
  if (detail.report && !detail.more_until) detail.fewest_seeds = fewest_seeds(*detail.report);
  return detail;
}

}  // namespace braird::cli
