// SPDX-License-Identifier: Apache-2.0
#include "calibration/census_lot_remarks.h"

#include <fmt/format.h>

#include <algorithm>

namespace braird {

bool is_taken_as_sown(const Shot& shot) {
  return (!shot.sown_on || !shot.taken) && shot.tray->seeds_in_view;
}

void remark_on_fresh(Lot& lot, const Shots& last) {
  if (std::ranges::any_of(last, is_taken_as_sown))
    lot.remarks.emplace_back(
        "Where nothing is up and seeds lie in view, the tray is taken to have been sown on the day of the "
        "photo; tell when it was sown.");
}

void remark_on_days(Lot& lot, const TraysOverDays& over, const CensusOptions& options) {
  if (std::ranges::any_of(over.trays, [](const Shots& tray) { return tray.size() > 1; }))
    lot.remarks.push_back(fmt::format("The rates are those of the last day's photos; earlier ones {}.",
                                      lot.course ? "serve the time course"
                                      : over.trays[0].back().sown_on
                                          ? "are left out"
                                          : "would give a time course with the sowing date"));
  if (over.side_by_side)
    lot.remarks.push_back(
        options.sowings == Sowings::latest
            ? "Photos of several days may show the same trays, so that only the last day's count here."
            : "Photos of several days were counted as different trays; where two show the same tray, leave "
              "the earlier one out.");
}

void remark_on_sowing(Lot& lot, const Shots& latest) {
  const std::chrono::year_month_day day = *std::ranges::max(latest, {}, &Shot::sown_on).sown_on;
  lot.remarks.push_back(fmt::format(
      "Only the trays sown on {:04}-{:02}-{:02} are these; those sown before count as earlier sowings.",
      static_cast<int>(day.year()), static_cast<unsigned>(day.month()), static_cast<unsigned>(day.day())));
}

void remark_on_told(Lot& lot, const Shots& shots, const CensusOptions& options) {
  if (options.lot && *options.lot != lot.name)
    lot.remarks.push_back(
        fmt::format("The photos were counted as lot {}, not {} as told.", lot.name, *options.lot));
  if (options.sown_on &&
      std::ranges::any_of(shots, [&](const Shot& shot) { return shot.sown_on != options.sown_on; }))
    lot.remarks.push_back("The photos were counted as sown on another day than was told.");
}

}  // namespace braird
