// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/lot_rates.h"

#include <fmt/format.h>

#include <algorithm>

#include "calibration/checked_cells.h"
#include "calibration/ledger/fair_trays.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/profiles.h"
#include "calibration/rates.h"
#include "calibration/which_to_check.h"

namespace braird::ledger {
namespace {

std::string name_of_tray(const KeptTray& tray) {
  return tray.tag ? *tray.tag : std::filesystem::path(tray.censuses.back().file).filename().string();
}

enum class HandCounts { all, picked };  // picked ones are no draw

std::vector<CellReading> with_hand_counts(const KeptCensus& census, int seeds, HandCounts which) {
  const double most = most_seedlings(seed_kind(census.tray.crop), seeds);
  std::vector<HandCount> hand;
  for (const HandCheck& check : census.checks)
    if (which == HandCounts::all || !check.drawn)
      hand.push_back(
          {static_cast<std::size_t>(check.cell), static_cast<int>(std::min<double>(check.seedlings, most))});
  return with_checked(cell_readings(census.tray, seeds), hand);
}

std::string last_taken(const KeptSowing& sowing) {
  std::string last;
  for (const KeptTray& tray : sowing.trays)
    for (const KeptCensus& census : tray.censuses) last = std::max(last, census.taken.value_or(""));
  return last.substr(0, 10);
}

/// Also where the day isn't known.
bool may_still_come_up(const KeptCensus& census, const SowingFacts& sowing) {
  const auto day = age_when_seen(census, sowing);
  return !day || *day < telling_day(census.tray.crop);
}

std::optional<Estimate> plain_germination(const Readings& of) {
  if (of.trays.empty() || !of.seeds_known) return std::nullopt;
  return pooled_germination_rate(of.trays);
}

bool same_kind(const Layout& layout, const std::optional<int>& seeds, const SowingFacts& of) {
  return layout == of.layout && seeds == of.seeds_per_cell;
}

/// Trays of one kind, and the checks that correct them.
CheckedTrays checked_kind(const std::vector<const Sown*>& sowings, std::span<const CheckedReading> checks) {
  CheckedTrays kind{{}, {}, {checks.begin(), checks.end()}};
  for (const Sown* sown : sowings)
    kind.trays.insert(kind.trays.end(), sown->readings.trays.begin(), sown->readings.trays.end());
  if (checks.empty()) return kind;
  Lot lot;
  for (const Sown* sown : sowings) add_to(lot, *sown->sowing);
  kind.own = checked_trays(lot).own;
  return kind;
}

Rates corrected_rates(std::vector<const Sown*> sowings, const Readings& readings,
                      const std::vector<KindChecks>& checks) {
  std::vector<CheckedTrays> kinds;
  while (!sowings.empty()) {
    const SowingFacts& facts = sowings.front()->sowing->facts;
    const auto others = std::stable_partition(sowings.begin(), sowings.end(), [&](const Sown* sown) {
      return same_kind(facts.layout, facts.seeds_per_cell, sown->sowing->facts);
    });
    kinds.push_back(checked_kind({sowings.begin(), others}, checks_of_kind(checks, facts)));
    sowings.erase(sowings.begin(), others);
  }
  Rates rates;
  rates.gaps = checked_gap_rate(kinds);
  if (readings.seeds_known) rates.germination = checked_germination_rate(kinds);
  return rates;
}

}  // namespace

Tray counted_by_all(const KeptCensus& census) {
  Tray tray = census.tray;
  for (const HandCheck& check : census.checks) {
    Cell& cell = tray.cells.at(static_cast<std::size_t>(check.cell));
    cell.count = check.seedlings;
    cell.probability.assign(static_cast<std::size_t>(check.seedlings) + 1, 0);
    cell.probability.back() = 1;
    cell.review = false;
  }
  if (has_any_up(tray)) tray.seeds_in_view.reset();
  return tray;
}

TraySummary summed_by_all(const KeptCensus& census) {
  if (census.checks.empty()) return summarise(census.tray);
  return summarise(counted_by_all(census));
}

std::vector<const KeptTray*> telling_trays(const KeptSowing& sowing) {
  constexpr double next_to_nothing = 0.1;  // of the cells; common practice, no source
  const std::string last = last_taken(sowing);
  std::vector<const KeptTray*> trays;
  for (const KeptTray& tray : sowing.trays) {
    if (tray.censuses.empty()) continue;
    const KeptCensus& census = tray.censuses.back();
    const bool early = !tray.tag && census.taken && census.taken->substr(0, 10) < last;
    if (early && may_still_come_up(census, sowing.facts)) {
      const TraySummary sum = summarise(census.tray);
      if (sum.cells - sum.empty < next_to_nothing * sum.cells) continue;
    }
    trays.push_back(&tray);
  }
  return trays;
}

std::optional<double> age_when_seen(const KeptCensus& census, const SowingFacts& sowing) {
  const auto day = day_of(census.taken, sowing.sown_on);
  return !day && census.tray.seeds_in_view ? 0 : day;
}

std::optional<double> all_seen_on(const KeptSowing& sowing) {
  std::optional<double> least;
  for (const KeptTray* tray : telling_trays(sowing))
    if (const auto day = age_when_seen(tray->censuses.back(), sowing.facts))
      least = std::min(*day, least.value_or(*day));
  return least;
}

void add_to(Lot& lot, const KeptSowing& sowing) {
  const std::optional<int> seeds = sowing.facts.seeds_per_cell;
  for (const KeptTray* tray : telling_trays(sowing)) {
    const KeptCensus& latest = tray->censuses.back();
    lot.seeds_known = lot.seeds_known && seeds.has_value();
    if (seed_kind(latest.tray.crop) == SeedKind::cluster) lot.seed = SeedKind::cluster;
    for (const HandCheck& check : latest.checks)
      if (check.drawn)
        lot.checked.push_back({lot.trays.size(), static_cast<std::size_t>(check.cell), check.seedlings});
    lot.trays.push_back(tray_map(counted_by_all(latest), seeds.value_or(1), name_of_tray(*tray)));
    lot.readings.push_back(with_hand_counts(latest, seeds.value_or(1), HandCounts::picked));
  }
}

std::vector<KindChecks> checks_for(const Ledger& ledger, const KeptLot& kept) {
  std::vector<KindChecks> kinds;
  for (const KeptSowing& sowing : kept.sowings) {
    const SowingFacts& of = sowing.facts;
    const auto known = [&](const KindChecks& kind) {
      return same_kind(kind.layout, kind.seeds_per_cell, of);
    };
    if (std::ranges::none_of(kinds, known))
      kinds.push_back({of.layout, of.seeds_per_cell,
                       counter_checks(ledger, {kept.facts.crop, of.layout, of.seeds_per_cell})});
  }
  std::erase_if(kinds, [](const KindChecks& kind) { return kind.cells.size() < kFewestChecks; });
  return kinds;
}

std::span<const CheckedReading> checks_of_kind(const std::vector<KindChecks>& checks,
                                               const SowingFacts& sowing) {
  for (const KindChecks& kind : checks)
    if (same_kind(kind.layout, kind.seeds_per_cell, sowing)) return kind.cells;
  return {};
}

Readings readings_of(const KeptSowing& sowing) {
  Readings readings;
  const std::optional<int> seeds = sowing.facts.seeds_per_cell;
  for (const KeptTray* tray : telling_trays(sowing))
    readings.trays.push_back(with_hand_counts(tray->censuses.back(), seeds.value_or(1), HandCounts::all));
  readings.seeds_known = seeds.has_value() || readings.trays.empty();
  return readings;
}

Rates rates_of(const std::vector<const Sown*>& sowings, const std::vector<KindChecks>& checks,
               Wanted wanted) {
  Readings all;
  for (const Sown* sown : sowings) all.add(sown->readings);
  if (all.trays.empty()) return {};
  if (std::ranges::any_of(
          sowings, [&](const Sown* sown) { return !checks_of_kind(checks, sown->sowing->facts).empty(); }))
    return corrected_rates(sowings, all, checks);
  if (wanted == Wanted::germination) return {plain_germination(all), std::nullopt};
  return {plain_germination(all), pooled_gap_rate(all.trays)};
}

}  // namespace braird::ledger
