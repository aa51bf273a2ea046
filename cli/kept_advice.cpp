// SPDX-License-Identifier: Apache-2.0
#include "cli/kept_advice.h"

#include <algorithm>
#include <iterator>
#include <tuple>
#include <utility>

#include "calibration/ledger/fair_trays.h"
#include "calibration/ledger/lot_rates.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/notes.h"
#include "calibration/ledger/tray_course.h"
#include "calibration/limits.h"

namespace braird::cli {
namespace {

using ledger::KeptSowing;

/// What the trays tell besides their counts.
void add_trays(AdviceRequest& request, const std::vector<KeptSowing>& sowings) {
  std::size_t trays = 0;
  std::optional<ledger::TrayCourse> course;
  for (const KeptSowing& sowing : sowings) {
    if (const auto day = ledger::all_seen_on(sowing))
      request.day = std::min(*day, request.day.value_or(*day));
    if (!request.temperature) request.temperature = sowing.facts.temperature_c;
    for (const ledger::KeptTray* tray : ledger::telling_trays(sowing)) {
      const Tray counted = ledger::counted_by_all(tray->censuses.back());
      request.fit = std::min(request.fit, counted.fit);
      request.review += summarise(counted).review;
      if (++trays == 1) course = ledger::course_of(*tray, sowing.facts);
    }
  }
  if (trays == 1 && course) request.lot->course = std::move(course->emergence);
}

}  // namespace

std::optional<AdviceRequest> request_on(const ledger::KeptLot& lot, std::span<const KeptSowing> sowings) {
  std::vector<KeptSowing> known;
  std::ranges::copy_if(sowings, std::back_inserter(known),
                       [](const KeptSowing& sowing) { return sowing.facts.seeds_per_cell.has_value(); });
  std::ranges::sort(known, {}, [](const KeptSowing& sowing) {  // whichever was kept first
    const Layout& layout = sowing.facts.layout;
    return std::tuple(layout.rows, layout.cols, layout.lattice, *sowing.facts.seeds_per_cell);
  });
  AdviceRequest request;
  request.lot = ledger::as_lot(lot, known);
  if (request.lot->trays.empty()) return std::nullopt;
  const int telling = ledger::telling_day(lot.facts.crop);
  for (const KeptSowing& other : lot.sowings) {
    if (!other.facts.seeds_per_cell || std::ranges::count(known, other.id, &KeptSowing::id) > 0) continue;
    const KeptSowing all_up = ledger::fair_trays(other, telling, telling);
    if (!all_up.trays.empty()) request.earlier.push_back(ledger::as_lot(lot, {&all_up, 1}));
  }
  if (lot.facts.crop) request.crop = find_crop(built_in_profiles(), *lot.facts.crop);
  request.pack_percent = lot.facts.stated_percent;
  add_trays(request, known);
  // A ledger may hold what advice would refuse.
  if (request.pack_percent && !ledger::can_be_stated(*request.pack_percent)) request.pack_percent.reset();
  if (request.temperature && !can_be_medium(*request.temperature)) request.temperature.reset();
  return request;
}

std::optional<LatestRequest> latest_request(const ledger::KeptLot& lot,
                                            const std::optional<std::string>& sown_on) {
  std::span<const KeptSowing> left(lot.sowings);
  while (!left.empty()) {
    const auto latest = ledger::sown_last(left);
    const std::optional<std::string>& day = latest.front().facts.sown_on;
    if (!sown_on || day == sown_on)
      if (auto request = request_on(lot, latest)) return LatestRequest{std::move(*request), day};
    left = left.first(left.size() - latest.size());
  }
  return std::nullopt;
}

std::optional<AdviceReport> advice_on(const ledger::KeptLot& lot, std::span<const KeptSowing> sowings) {
  const auto request = request_on(lot, sowings);
  return request ? std::optional(advise_on(*request)) : std::nullopt;
}

std::optional<AdviceReport> latest_advice(const ledger::KeptLot& lot) {
  const auto latest = latest_request(lot);
  return latest ? std::optional(advise_on(latest->request)) : std::nullopt;
}

}  // namespace braird::cli
