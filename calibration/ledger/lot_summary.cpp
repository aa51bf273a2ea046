// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/lot_summary.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "calibration/calendar_day.h"
#include "calibration/checked_cells.h"
#include "calibration/emergence_fit.h"
#include "calibration/ledger/lot_rates.h"
#include "calibration/ledger/tray_course.h"
#include "calibration/profiles.h"

namespace braird::ledger {
namespace {

std::optional<int> days_between(const std::optional<std::string>& from,
                                const std::optional<std::string>& to) {
  const auto first = from ? calendar_day(*from) : std::nullopt, last = to ? calendar_day(*to) : std::nullopt;
  if (!first || !last) return std::nullopt;
  return static_cast<int>((*last - *first).count());
}

Tally tally_of(const KeptSowing& sowing) {
  Tally tally;
  for (const KeptTray& tray : sowing.trays) tally.photos += static_cast<int>(tray.censuses.size());
  for (const KeptTray* tray : telling_trays(sowing)) {
    const TraySummary sum = summarise(counted_by_all(tray->censuses.back()));
    ++tally.trays;
    tally.cells += sum.cells;
    tally.empty += sum.empty;
    tally.seedlings += sum.seedlings;
    tally.seeds += sum.cells * sowing.facts.seeds_per_cell.value_or(0);
    for (const KeptCensus& census : tray->censuses)
      tally.hand_checked += static_cast<int>(census.checks.size());
  }
  return tally;
}

Tally sum_of(const std::vector<SowingSummary>& sowings) {
  Tally sum;
  for (const SowingSummary& sowing : sowings) {
    const Tally& more = sowing.tally;
    sum = {sum.trays + more.trays,
           sum.photos + more.photos,
           sum.cells + more.cells,
           sum.empty + more.empty,
           sum.seedlings + more.seedlings,
           sum.seeds + more.seeds,
           sum.hand_checked + more.hand_checked};
  }
  return sum;
}

/// Trays seen on several days: when half of what came was up (where less stood on the first of them: else
/// nobody saw when), and what is still to come.
void add_course(SowingSummary& summary, const KeptSowing& sowing) {
  double t50 = 0, weight = 0;
  Inspections longest;
  for (const KeptTray& tray : sowing.trays) {
    const auto course = course_of(tray, sowing.facts);
    if (!course || course->emergence.came_up.back() < 1) continue;
    const Inspections& seen = course->emergence;
    if (const double half = germination_times(seen).t50_coolbear; half > seen.times.front()) {
      t50 += half * seen.came_up.back();
      weight += seen.came_up.back();
    }
    if (seen.times.size() > longest.times.size()) longest = seen;
  }
  if (longest.times.empty()) return;
  if (weight > 0) summary.t50 = t50 / weight;
  summary.in_the_end = forecast_final_rate(longest);
}

SowingSummary summarise_sowing(const KeptLot& kept, const Sown& sown,
                               const std::vector<CheckedReading>& checks) {
  const KeptSowing& sowing = *sown.sowing;
  SowingSummary summary;
  summary.facts = sowing.facts;
  summary.tally = tally_of(sowing);
  const Rates rates = rates_of({&sown}, checks);
  summary.germination = rates.germination;
  summary.gaps = rates.gaps;
  for (const KeptTray& tray : sowing.trays)
    for (const KeptCensus& census : tray.censuses)
      if (const auto day = day_of(census.taken, sowing.facts.sown_on))
        summary.last_day = std::max(*day, summary.last_day.value_or(0));
  add_course(summary, sowing);
  summary.pack_age_days = days_between(kept.facts.tested_on, sowing.facts.sown_on);
  return summary;
}

/// The latest dated sowing against all earlier ones; both need a germination rate.
std::optional<Estimate> trend_of(const std::vector<Sown>& sowings,
                                 const std::vector<CheckedReading>& checks) {
  std::vector<const Sown*> latest, earlier;
  for (const Sown& sown : sowings) {
    if (!sown.sowing->facts.sown_on || sown.readings.trays.empty()) continue;
    if (!latest.empty() && latest[0]->sowing->facts.sown_on < sown.sowing->facts.sown_on) {
      earlier.insert(earlier.end(), latest.begin(), latest.end());
      latest.clear();
    }
    latest.push_back(&sown);
  }
  if (earlier.empty()) return std::nullopt;
  const Rates now = rates_of(latest, checks, Wanted::germination),
              before = rates_of(earlier, checks, Wanted::germination);
  if (!now.germination || !before.germination) return std::nullopt;
  return difference(*now.germination, *before.germination);
}

}  // namespace

std::optional<double> day_of(const std::optional<std::string>& taken,
                             const std::optional<std::string>& sown_on) {
  const auto days = days_between(sown_on, taken);
  if (!days || *days < 0) return std::nullopt;
  return *days + share_of_day(*taken);
}

Lot as_lot(const KeptLot& kept) {
  return as_lot(kept, kept.sowings);
}

Lot as_lot(const KeptLot& kept, std::span<const KeptSowing> sowings) {
  Lot lot;
  lot.name = kept.facts.name;
  for (const KeptSowing& sowing : sowings) add_to(lot, sowing);
  if (lot.checked.size() < kFewestChecks) settle_checks(lot);
  return lot;
}

LotSummary summarise(const Ledger& ledger, const KeptLot& kept) {
  LotSummary summary;
  summary.facts = kept.facts;
  const std::vector<CheckedReading> checks = checks_for(ledger, kept);
  std::vector<Sown> sowings;
  std::vector<const Sown*> all;
  for (const KeptSowing& sowing : kept.sowings) sowings.push_back({&sowing, readings_of(sowing)});
  for (const Sown& sown : sowings) {
    summary.sowings.push_back(summarise_sowing(kept, sown, checks));
    all.push_back(&sown);
  }
  summary.tally = sum_of(summary.sowings);
  const Rates rates = rates_of(all, checks);
  summary.germination = rates.germination;
  summary.gaps = rates.gaps;
  if (summary.gaps) summary.error_checks = static_cast<int>(checks.size());
  summary.trend = trend_of(sowings, checks);
  if (kept.facts.crop)
    if (const CropProfile* crop = find_crop(built_in_profiles(), *kept.facts.crop))
      summary.legal_minimum_percent = crop->minimum_germination_percent;
  summary.suspicions = suspicions_of(summary);
  return summary;
}

}  // namespace braird::ledger
