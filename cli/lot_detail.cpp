// SPDX-License-Identifier: Apache-2.0
#include "cli/lot_detail.h"

#include <algorithm>
#include <cmath>

#include "calibration/advice.h"

namespace braird::cli {
namespace {

/// As `count` says when to wait.
std::optional<int> more_until(const ledger::LotSummary& summary) {
  if (!summary.facts.crop) return std::nullopt;
  const CropProfile* crop = find_crop(built_in_profiles(), *summary.facts.crop);
  const int day = crop ? telling_day(*crop) : 0;
  const bool young = std::ranges::any_of(ledger::sown_last(summary.sowings), [&](const auto& sowing) {
    return sowing.last_day && std::floor(*sowing.last_day) < day;
  });
  return young ? std::optional(day) : std::nullopt;
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
  detail.still_rising =
      std::ranges::any_of(ledger::sown_last(detail.summary.sowings), &ledger::SowingSummary::still_rising);
  return detail;
}

}  // namespace braird::cli
