// SPDX-License-Identifier: Apache-2.0
#include "cli/lot_detail.h"

#include <algorithm>
#include <cmath>

#include "calibration/advice.h"
#include "calibration/ledger/lot_rates.h"
#include "calibration/ledger/young_trays.h"

namespace braird::cli {
namespace {

/// As `count` says when to wait.
std::optional<int> more_until(const ledger::KeptLot& kept) {
  if (!kept.facts.crop) return std::nullopt;
  const CropProfile* crop = find_crop(built_in_profiles(), *kept.facts.crop);
  const int day = crop ? telling_day(*crop) : 0;
  const bool young = std::ranges::any_of(ledger::sown_last(kept.sowings), [&](const auto& sowing) {
    const auto counted_on = ledger::all_seen_on(sowing);
    return counted_on && std::floor(*counted_on) < day;
  });
  return young ? std::optional(day) : std::nullopt;
}

}  // namespace

LotDetail detail_of(const ledger::Ledger& ledger, const ledger::KeptLot& kept) {
  LotDetail detail;
  detail.summary = ledger::summarise(ledger, kept);
  detail.decisions = kept.decisions;
  detail.courses = ledger::courses_of(kept);
  const auto older = ledger::without_young(kept);
  const Lot lot = older ? ledger::as_lot(kept, *older) : ledger::as_lot(kept);
  if (!lot.trays.empty()) detail.report = report_on(lot);
  detail.more_until = more_until(kept);
  detail.still_rising =
      std::ranges::any_of(ledger::sown_last(detail.summary.sowings), &ledger::SowingSummary::still_rising);
  return detail;
}

}  // namespace braird::cli
