// SPDX-License-Identifier: Apache-2.0
#include "cli/lot_detail.h"

#include <cmath>

#include "calibration/advice.h"

namespace braird::cli {
namespace {

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
  detail.still_rising = !detail.summary.sowings.empty() && detail.summary.sowings.back().still_rising;
  return detail;
}

}  // namespace braird::cli
