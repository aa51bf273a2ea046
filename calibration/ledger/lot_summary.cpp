// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/lot_summary.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "calibration/calendar_day.h"
#include "calibration/checked_cells.h"
#include "calibration/empty_cells.h"
#include "calibration/in_the_end.h"
#include "calibration/ledger/fair_trays.h"
#include "calibration/ledger/lot_rates.h"
#include "calibration/ledger/tray_course.h"
#include "calibration/ledger/young_trays.h"
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
    const TraySummary sum = summed_by_all(tray->censuses.back());
    ++tally.trays;
    tally.cells += sum.cells;
    tally.empty += sum.empty;
    tally.seedlings += sum.seedlings;
    tally.seeds += sum.cells * sowing.facts.seeds_per_cell.value_or(0);
    for (const KeptCensus& census : tray->censuses)
      tally.hand_checked += static_cast<int>(census.checks.size());
  }
  tally.left_out = static_cast<int>(std::ranges::count_if(
                       sowing.trays, [](const KeptTray& tray) { return !tray.censuses.empty(); })) -
                   tally.trays;
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
           sum.hand_checked + more.hand_checked,
           sum.left_out + more.left_out};
  }
  return sum;
}

/// Trays seen on several days: when half of what came was up (where less stood on the first of them: else
/// nobody saw when), and what is still to come.
void add_course(SowingSummary& summary, const KeptSowing& sowing) {
  double t50 = 0, weight = 0;
  std::vector<Course> courses;
  for (const KeptTray& tray : sowing.trays) {
    const auto course = course_of(tray, sowing.facts);
    if (!course || course->emergence.came_up.back() < 1) continue;
    const Inspections& seen = course->emergence;
    if (const double half = germination_times(seen).t50_coolbear; half > seen.times.front()) {
      t50 += half * seen.came_up.back();
      weight += seen.came_up.back();
    }
    courses.push_back({seen, course->design_effect, course->standing});
  }
  if (weight > 0) summary.t50 = t50 / weight;
  if (!summary.germination) return;
  const Outlook outlook = outlook_of(*summary.germination, courses);
  summary.in_the_end = outlook.in_the_end;
  summary.still_rising = outlook.still_rising;
}

SowingSummary summarise_sowing(const KeptLot& kept, const Sown& sown, const std::vector<KindChecks>& checks) {
  const KeptSowing& sowing = *sown.sowing;
  SowingSummary summary;
  summary.facts = sowing.facts;
  summary.tally = tally_of(sowing);
  const Rates rates = rates_of({&sown}, checks);
  summary.germination = rates.germination;
  summary.gaps = rates.gaps;
  if (rates.gaps) summary.error_checks = static_cast<int>(checks_of_kind(checks, sowing.facts).size());
  for (const KeptTray& tray : sowing.trays)
    for (const KeptCensus& census : tray.censuses)
      if (const auto day = day_of(census.taken, sowing.facts.sown_on))
        summary.last_day = std::max(*day, summary.last_day.value_or(0));
  add_course(summary, sowing);
  summary.pack_age_days = days_between(kept.facts.tested_on, sowing.facts.sown_on);
  return summary;
}

/// Of some trays; nothing where there are none.
Rates rates_in(const std::vector<KeptSowing>& sowings, const std::vector<KindChecks>& checks, Wanted wanted) {
  std::vector<Sown> sown(sowings.size());
  std::vector<const Sown*> all(sowings.size());
  for (std::size_t at = 0; at < sowings.size(); ++at) {
    sown[at] = {&sowings[at], readings_of(sowings[at])};
    all[at] = &sown[at];
  }
  return rates_of(all, checks, wanted);
}

std::size_t number_of_trays(const std::vector<KeptSowing>& sowings) {
  std::size_t trays = 0;
  for (const KeptSowing& sowing : sowings) trays += sowing.trays.size();
  return trays;
}

/// Seeds a cell of the sowing with the fewest, so that a lot has the benefit of the doubt.
std::optional<int> fewest_seeds(const KeptLot& kept) {
  std::optional<int> fewest;
  for (const KeptSowing& sowing : kept.sowings)
    if (const auto seeds = sowing.facts.seeds_per_cell) fewest = std::min(*seeds, fewest.value_or(*seeds));
  return fewest;
}

/// Is one of the fair trays held by an earlier photo than its latest?
bool has_died_back(const KeptSowing& fair, const KeptSowing& sowing) {
  return std::ranges::any_of(fair.trays, [&](const KeptTray& tray) {
    const auto whole = std::ranges::find(sowing.trays, tray.id, &KeptTray::id);
    return tray.censuses.back().id != whole->censuses.back().id;
  });
}

std::optional<Judged> judged(const KeptLot& kept, const LotSummary& summary,
                             const std::vector<KindChecks>& checks) {
  const int telling = telling_day(kept.facts.crop);
  std::vector<KeptSowing> fair;
  bool died_back = false;
  for (const KeptSowing& sowing : kept.sowings) {
    fair.push_back(fair_trays(sowing, telling, telling));
    died_back = died_back || has_died_back(fair.back(), sowing);
  }
  const bool all = number_of_trays(fair) == static_cast<std::size_t>(summary.tally.trays);
  const Rates rates =
      all && !died_back ? Rates{summary.germination, summary.gaps} : rates_in(fair, checks, Wanted::both);
  if (!rates.germination) return std::nullopt;
  const auto clusters = fewest_seeds(kept);
  if (rates.gaps && clusters && seed_kind(kept.facts.crop) == SeedKind::cluster)
    return Judged{clusters_alive(*rates.gaps, *clusters), all, died_back, true};
  return Judged{*rates.germination, all, died_back, false};
}

/// The latest dated sowing against all earlier ones, in trays counted at the age that it has reached: what
/// is still to come of a young one is no worsening.
/// Two trays on each side: one tells nothing of how far trays of a sowing lie apart.
std::optional<Estimate> trend_of(const KeptLot& kept, const std::vector<KindChecks>& checks) {
  const int telling = telling_day(kept.facts.crop);
  std::optional<std::string> latest_day;
  int age = 0;
  for (const KeptSowing& sowing : kept.sowings)
    for (const KeptTray* tray : telling_trays(sowing)) {
      if (!sowing.facts.sown_on || sowing.facts.sown_on < latest_day) continue;
      if (latest_day < sowing.facts.sown_on) age = 0;
      latest_day = sowing.facts.sown_on;
      age = std::max(age, age_of(*tray, sowing.facts, telling));
    }
  std::vector<KeptSowing> latest, earlier;
  for (const KeptSowing& sowing : kept.sowings)
    if (sowing.facts.sown_on)
      (sowing.facts.sown_on == latest_day ? latest : earlier).push_back(fair_trays(sowing, age, telling));
  if (number_of_trays(latest) < 2 || number_of_trays(earlier) < 2) return std::nullopt;
  const auto now = rates_in(latest, checks, Wanted::germination).germination,
             before = rates_in(earlier, checks, Wanted::germination).germination;
  if (!now || !before) return std::nullopt;
  return difference(*now, *before);
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

int days_of_sowing(const LotSummary& lot) {
  int days = 0;
  for (std::span<const SowingSummary> left(lot.sowings); !left.empty(); ++days)
    left = left.first(left.size() - sown_last(left).size());
  return days;
}

LotSummary summarise(const Ledger& ledger, const KeptLot& kept) {
  LotSummary summary;
  summary.facts = kept.facts;
  const std::vector<KindChecks> checks = checks_for(ledger, kept);
  std::vector<Sown> sowings;
  std::vector<const Sown*> all;
  for (const KeptSowing& sowing : kept.sowings) sowings.push_back({&sowing, readings_of(sowing)});
  for (const Sown& sown : sowings) {
    summary.sowings.push_back(summarise_sowing(kept, sown, checks));
    all.push_back(&sown);
  }
  summary.tally = sum_of(summary.sowings);
  const auto older = without_young(kept);
  if (older) summary.too_young = summary.tally.trays - static_cast<int>(number_of_trays(*older));
  const Rates rates = older ? rates_in(*older, checks, Wanted::both) : rates_of(all, checks);
  summary.germination = rates.germination;
  summary.gaps = rates.gaps;
  if (summary.gaps)
    for (const KindChecks& kind : checks) summary.error_checks += static_cast<int>(kind.cells.size());
  summary.trend = trend_of(kept, checks);
  if (kept.facts.crop)
    if (const CropProfile* crop = find_crop(built_in_profiles(), *kept.facts.crop))
      summary.legal_minimum_percent = crop->minimum_germination_percent;
  summary.suspicions = suspicions_of(summary, judged(kept, summary, checks));
  return summary;
}

}  // namespace braird::ledger
