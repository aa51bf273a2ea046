// SPDX-License-Identifier: Apache-2.0
#include "calibration/next_batch.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calibration/cell_outlook.h"
#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kMinutesInHour = 60;
constexpr double kHardlyHelps = 0.2;  // of the gap limit
constexpr double kPoorSeed = 0.4;     // below the least that law allows of any crop (7 CFR 201.31)
constexpr int kMostForAPlant = 4;     // seeds
constexpr int kRowsAround = 2;        // of the chosen number of seeds

void check(const BatchTerms& terms) {
  require(terms.wanted.low >= 1, "fewest plants wanted", terms.wanted.low, "≥ 1");
  require(terms.wanted.high >= terms.wanted.low, "most plants wanted", terms.wanted.high,
          "at least the fewest wanted");
  require(terms.cells_per_tray >= 1, "cells per tray", terms.cells_per_tray, "≥ 1");
}

double cost_of(const BatchRow& row, double surplus, const BatchTerms& terms) {
  const Economy& economy = terms.economy;
  const double usable = 1 - row.below, minute = economy.hour_price / kMinutesInHour;
  if (usable < 1e-9) return std::numeric_limits<double>::infinity();
  const double tray = economy.tray_price + economy.minutes_to_sow_tray * minute;
  return (row.seeds * economy.seed_price + tray / terms.cells_per_tray +
          surplus * economy.minutes_to_thin_plant * minute) /
         usable;
}

// Missed cells are the sower's; no number of seeds fills them.
double limit_of(const BatchTerms& terms) {
  return terms.sower.missed + (1 - terms.sower.missed) * terms.economy.gap_limit;
}

double hardly_a_help(const BatchTerms& terms) {
  return kHardlyHelps * terms.economy.gap_limit;
}

// On until the limit is plainly kept, and a little farther to compare with.
std::vector<BatchRow> table(std::span<const LotChance> lot, const BatchTerms& terms) {
  std::vector<BatchRow> rows;
  const int most = most_worth_sowing(terms.wanted);
  int last = most;
  for (int seeds = 1; seeds <= last; ++seeds) {
    rows.push_back(batch_row(lot, seeds, terms));
    if (last == most && rows.back().below <= limit_of(terms) - hardly_a_help(terms))
      last = std::min(last, std::max(kFewestRows, seeds + kRowsAround));
  }
  return rows;
}

double mean_germination(std::span<const LotChance> lot) {
  double mean = 0;
  for (const LotChance& chance : lot) mean += chance.weight * chance.mean;
  return mean;
}

// Places in the table.
std::size_t cheapest(const std::vector<BatchRow>& rows, std::size_t but_not) {
  std::size_t best = but_not == 0 ? 1 : 0;
  for (std::size_t at = 0; at < rows.size(); ++at)
    if (at != but_not && rows[at].cost < rows[best].cost) best = at;
  return best;
}

// Seeds that hardly help are saved, be the limit just in or just out of their reach: else a better lot would
// at times get more seeds than a worse one. Of poor seed all help.
std::size_t within_limit(const std::vector<BatchRow>& rows, const BatchTerms& terms, bool poor) {
  const double least = std::ranges::min(rows, {}, &BatchRow::below).below;
  const double enough = poor ? limit_of(terms) : std::max(limit_of(terms), least + hardly_a_help(terms));
  const auto first = std::ranges::find_if(rows, [&](const BatchRow& row) { return row.below <= enough; });
  return first == rows.end() ? rows.size() - 1 : static_cast<std::size_t>(first - rows.begin());
}

std::size_t best_of(const std::vector<BatchRow>& rows, std::span<const LotChance> lot,
                    const BatchTerms& terms, ChosenBy by) {
  return by == ChosenBy::cost ? cheapest(rows, rows.size())
                              : within_limit(rows, terms, mean_germination(lot) < kPoorSeed);
}

std::size_t second_to(std::size_t best, const std::vector<BatchRow>& rows, ChosenBy by) {
  if (by == ChosenBy::cost) return cheapest(rows, best);
  if (best == 0) return 1;
  if (best + 1 == rows.size()) return best - 1;
  return rows[best - 1].cost < rows[best + 1].cost ? best - 1 : best + 1;
}

// As if the lot's germination were known.
int chosen_at(double germination, std::span<const LotChance> lot, const BatchTerms& terms, ChosenBy by) {
  std::vector<LotChance> known(lot.begin(), lot.end());
  std::vector<LotChance> merged;
  for (LotChance chance : known) {
    const auto alike = std::ranges::find_if(merged, [&](const LotChance& other) {
      return other.rho == chance.rho && other.spread == chance.spread;
    });
    chance.mean = germination;
    if (alike == merged.end())
      merged.push_back(chance);
    else
      alike->weight += chance.weight;
  }
  const auto rows = table(merged, terms);
  return rows[best_of(rows, merged, terms, by)].seeds_per_cell;
}

}  // namespace

Wanted usually_wanted(int seeds) {
  require(seeds >= 1, "seeds per cell", seeds, "≥ 1");
  if (seeds == 1) return {1, 1};
  return {static_cast<int>(std::ceil(.6 * seeds - 1e-9)), seeds + 1};
}

BatchRow batch_row(std::span<const LotChance> lot, int seeds_per_cell, const BatchTerms& terms) {
  check(terms);
  require(seeds_per_cell >= 1 && seeds_per_cell <= kMostSeedsPerCell, "seeds per cell", seeds_per_cell,
          "from 1 to 50");
  require(!lot.empty(), "number of ways the lot may be", lot.size(), "> 0");
  const CellDrop drop = cell_drop(seeds_per_cell, terms.sower);
  std::vector<double> chances(drop.all.chance.size());
  for (const LotChance& chance : lot)
    for (const auto& [weight, share] : shares_around(logit(chance.mean), chance.spread)) {
      const auto of_cell = seedling_chances(drop, share, chance.rho);
      for (std::size_t k = 0; k < chances.size(); ++k) chances[k] += chance.weight * weight * of_cell[k];
    }
  BatchRow row;
  row.seeds_per_cell = seeds_per_cell;
  row.empty = chances[0];
  row.below = std::max(0., 1 - chance_of_low(chances, terms.wanted.low));
  row.above = chance_of_low(chances, terms.wanted.high + 1);
  row.within = std::max(0., 1 - row.below - row.above);
  row.plants = mean_of(chances);
  row.seeds = seeds_used(seeds_per_cell, terms.sower);
  double surplus = 0;
  for (int k = terms.wanted.high + 1; k < std::ssize(chances); ++k)
    surplus += (k - terms.wanted.high) * chances[static_cast<std::size_t>(k)];
  row.cost = cost_of(row, surplus, terms);
  return row;
}

int most_worth_sowing(const Wanted& wanted) {
  return std::clamp(kMostForAPlant * wanted.low, kFewestRows, kMostSeedsPerCell);
}

bool is_too_poor(std::span<const LotChance> lot, const BatchTerms& terms) {
  return mean_germination(lot) < kPoorSeed &&
         batch_row(lot, most_worth_sowing(terms.wanted), terms).below > limit_of(terms);
}

BatchAdvice advise_batch(std::span<const LotChance> lot, const Estimate& germination, const BatchTerms& terms,
                         ChosenBy by) {
  BatchAdvice advice;
  advice.by = by;
  advice.rows = table(lot, terms);
  const std::size_t best = best_of(advice.rows, lot, terms, by), second = second_to(best, advice.rows, by);
  advice.chosen = advice.rows[best].seeds_per_cell;
  advice.second = advice.rows[second].seeds_per_cell;
  advice.second_costs_more = advice.rows[second].cost - advice.rows[best].cost;
  advice.too_poor = is_too_poor(lot, terms);
  advice.chosen_if_poor = chosen_at(germination.low, lot, terms, by);
  advice.chosen_if_good = chosen_at(germination.high, lot, terms, by);
  return advice;
}

std::span<const BatchRow> rows_around_chosen(const BatchAdvice& advice) {
  constexpr int rows = 2 * kRowsAround + 1;
  const int first =
      std::clamp(advice.chosen - 1 - kRowsAround, 0, static_cast<int>(advice.rows.size()) - rows);
  return std::span(advice.rows).subspan(static_cast<std::size_t>(first), rows);
}

}  // namespace braird
