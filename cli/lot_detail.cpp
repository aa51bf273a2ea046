// SPDX-License-Identifier: Apache-2.0
#include "cli/lot_detail.h"

#include <algorithm>

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

}  // namespace

LotDetail detail_of(const ledger::Ledger& ledger, const ledger::KeptLot& kept) {
  LotDetail detail;
  detail.summary = ledger::summarise(ledger, kept);
  detail.decisions = kept.decisions;
  detail.courses = ledger::courses_of(kept);
  const Lot lot = ledger::as_lot(kept);
  if (!lot.trays.empty()) detail.report = report_on(lot);
  if (detail.report) detail.fewest_seeds = fewest_seeds(*detail.report);
  return detail;
}

}  // namespace braird::cli
