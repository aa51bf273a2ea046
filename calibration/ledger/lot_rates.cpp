// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/lot_rates.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

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

std::vector<CellReading> with_hand_counts(const KeptCensus& census, int seeds) {
  const double most = most_seedlings(seed_kind(census.tray.crop), seeds);
  std::vector<HandCount> hand;
  for (const HandCheck& check : census.checks)
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

std::optional<double> common_seeds(const Lot& lot) {
  std::optional<double> seeds;
  for (const auto& tray : lot.readings)
    for (const CellReading& cell : tray) {
      if (seeds && *seeds != cell.seeds) return std::nullopt;
      seeds = cell.seeds;
    }
  return seeds;
}

/// Also where crop or day isn't known.
bool may_still_come_up(const KeptCensus& census, const SowingFacts& sowing) {
  const int telling = telling_day(census.tray.crop);
  const auto day = day_of(census.taken, sowing.sown_on);
  return telling == 0 || !day || *day < telling;
}

using Trays = std::vector<std::vector<CellReading>>;

Trays without_doubt(Trays trays) {
  for (auto& tray : trays)
    for (CellReading& cell : tray) cell = {cell.seedlings, 0, cell.seedlings > 0 ? 0.0 : 1.0, cell.seeds};
  return trays;
}

// `plain` is the rate as counted, were the counter never wrong: no check makes the rate surer than that. One
// miscounted seedling more than was seen is allowed for, as in checked_cells.h.
Estimate moved(const std::vector<CheckedCell>& checked, const Lot& lot, double CellReading::*counted,
               double per, const Estimate& plain) {
  std::vector<double> values;
  for (const auto& tray : lot.readings)
    for (const CellReading& cell : tray) values.push_back(cell.*counted);
  const CorrectedMean mean = prediction_powered_mean(checked, values);
  const double checks = static_cast<double>(checked.size()), estimate = mean.mean.estimate / per,
               reach = t_quantile(checks - 1, 0.95) * std::hypot(mean.standard_error, 1 / checks) / per;
  return {estimate, estimate - std::max(reach, plain.estimate - plain.low),
          estimate + std::max(reach, plain.high - plain.estimate),
          fmt::format("{}, {} cells checked by hand", mean.mean.method, checked.size())};
}

Estimate cut(Estimate rate, double most) {
  for (double* value : {&rate.estimate, &rate.low, &rate.high}) *value = std::clamp(*value, 0.0, most);
  return rate;
}

Rates corrected_rates(const Lot& lot, const CounterChecks& checks) {
  const auto seeds = common_seeds(lot);
  Rates rates;
  const bool all_own = lot.checked.size() == checks.seedlings.size();
  const Trays plain = without_doubt(lot.readings);
  rates.gaps = all_own ? checked_gap_rate(lot)
                       : cut(moved(checks.gaps, lot, &CellReading::empty, 1, pooled_gap_rate(plain)), 1);
  if (lot.seeds_known && seeds)
    rates.germination = all_own ? checked_germination_rate(lot)
                                : cut(moved(checks.seedlings, lot, &CellReading::seedlings, *seeds,
                                            pooled_germination_rate(plain)),
                                      most_seedlings(lot.seed, 1));
  return rates;
}

std::optional<Estimate> plain_germination(const Readings& of) {
  if (of.trays.empty() || !of.seeds_known) return std::nullopt;
  return pooled_germination_rate(of.trays);
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
  return tray;
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
    lot.readings.push_back(cell_readings(latest.tray, seeds.value_or(1)));
  }
}

CounterChecks checks_for(const Ledger& ledger, const KeptLot& kept) {
  CounterChecks all;
  std::vector<Layout> done;
  const auto same = [](const Layout& one) {
    return [one](const Layout& two) {
      return one.rows == two.rows && one.cols == two.cols && one.lattice == two.lattice;
    };
  };
  for (const KeptSowing& sowing : kept.sowings) {
    if (std::ranges::any_of(done, same(sowing.facts.layout))) continue;
    done.push_back(sowing.facts.layout);
    const CounterChecks more = counter_checks(ledger, kept.facts.crop, sowing.facts.layout);
    if (more.seedlings.size() < kFewestChecks) return {};
    all.seedlings.insert(all.seedlings.end(), more.seedlings.begin(), more.seedlings.end());
    all.gaps.insert(all.gaps.end(), more.gaps.begin(), more.gaps.end());
  }
  return all;
}

Readings readings_of(const KeptSowing& sowing) {
  Readings readings;
  const std::optional<int> seeds = sowing.facts.seeds_per_cell;
  for (const KeptTray* tray : telling_trays(sowing))
    readings.trays.push_back(with_hand_counts(tray->censuses.back(), seeds.value_or(1)));
  readings.seeds_known = seeds.has_value() || readings.trays.empty();
  return readings;
}

Rates rates_of(const std::vector<const Sown*>& sowings, const CounterChecks& checks, Wanted wanted) {
  if (checks.seedlings.size() >= kFewestChecks) {
    Lot lot;
    for (const Sown* sown : sowings) add_to(lot, *sown->sowing);
    return lot.trays.empty() ? Rates() : corrected_rates(lot, checks);
  }
  Readings all;
  for (const Sown* sown : sowings) all.add(sown->readings);
  if (all.trays.empty()) return {};
  if (wanted == Wanted::germination) return {plain_germination(all), std::nullopt};
  return {plain_germination(all), pooled_gap_rate(all.trays)};
}

}  // namespace braird::ledger
