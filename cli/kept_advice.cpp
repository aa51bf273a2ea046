// SPDX-License-Identifier: Apache-2.0
#include "cli/kept_advice.h"

#include <algorithm>

#include "calibration/ledger/fair_trays.h"
#include "calibration/ledger/lot_rates.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/notes.h"
#include "calibration/ledger/tray_course.h"

namespace braird::cli {

std::optional<AdviceReport> advice_on(const ledger::KeptLot& lot, const ledger::KeptSowing& sowing) {
  AdviceRequest request;
  request.lot = ledger::as_lot(lot, {&sowing, 1});
  if (request.lot->trays.empty() || !request.lot->seeds_known) return std::nullopt;
  const int telling = ledger::telling_day(lot.facts.crop);
  for (const ledger::KeptSowing& other : lot.sowings) {
    if (other.id == sowing.id || !other.facts.seeds_per_cell) continue;
    const ledger::KeptSowing all_up = ledger::fair_trays(other, telling, telling);
    if (!all_up.trays.empty()) request.earlier.push_back(ledger::as_lot(lot, {&all_up, 1}));
  }
  if (lot.facts.crop) request.crop = find_crop(built_in_profiles(), *lot.facts.crop);
  request.day = ledger::all_seen_on(sowing);
  request.temperature = sowing.facts.temperature_c;
  request.pack_percent = lot.facts.stated_percent;
  // A ledger may hold what advice would refuse.
  if (request.pack_percent && !ledger::can_be_stated(*request.pack_percent)) request.pack_percent.reset();
  if (request.temperature && !ledger::can_be_medium(*request.temperature)) request.temperature.reset();
  const auto trays = ledger::telling_trays(sowing);
  for (const ledger::KeptTray* tray : trays) {
    const Tray counted = ledger::counted_by_all(tray->censuses.back());
    request.fit = std::min(request.fit, counted.fit);
    request.review += summarise(counted).review;
  }
  if (trays.size() == 1)
    if (auto course = ledger::course_of(*trays[0], sowing.facts))
      request.lot->course = std::move(course->emergence);
  return advise_on(request);
}

std::optional<AdviceReport> latest_advice(const ledger::KeptLot& lot) {
  for (auto sowing = lot.sowings.rbegin(); sowing != lot.sowings.rend(); ++sowing)
    if (auto advice = advice_on(lot, *sowing)) return advice;
  return std::nullopt;
}

}  // namespace braird::cli
