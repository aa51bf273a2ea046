// SPDX-License-Identifier: Apache-2.0
#include "calibration/tray_bench.h"

#include <algorithm>
#include <cmath>

#include "calibration/cell_outlook.h"
#include "calibration/require.h"

namespace braird::tray_bench {
namespace {

constexpr double kSureToCome = 0.8;

NewCells new_cells(const Belief& belief, const OptionTerms& terms) {
  if (terms.new_seeds == 0) return {};
  const CellDrop drop = cell_drop(terms.new_seeds, terms.batch.sower);
  NewCells cells;
  double square = 0;
  for (const LotChance& lot : belief.lot)
    for (const auto& [weight, share] : shares_around(logit(lot.mean), lot.spread)) {
      const auto chances = seedling_chances(drop, share, lot.rho);
      const double full = chance_of_low(chances, terms.batch.wanted.low);
      cells.mean += lot.weight * weight * full;
      square += lot.weight * weight * full * full;
      cells.plants += lot.weight * weight * mean_of(chances);
    }
  cells.variance = std::max(0., square - cells.mean * cells.mean);
  return cells;
}

void count_cells(TrayOptions& stand, const OptionTerms& terms) {
  const int low = terms.batch.wanted.low;
  for (const SeenTray& tray : terms.trays)
    for (int k = 0; k < std::ssize(tray.cells_with); ++k) {
      const int cells = static_cast<int>(std::lround(tray.cells_with[static_cast<std::size_t>(k)]));
      stand.cells += cells;
      stand.plants += cells * k;
      if (k == 0) stand.empty += cells;
      if (k >= low) stand.full += cells;
      if (k > low) stand.spare += cells * (k - low);
    }
  require(stand.cells > 0, "number of counted cells", stand.cells, "> 0");
  stand.fillable = std::min(stand.empty, stand.spare / plants_for_a_gap(terms));
}

CountedStand counted_stand(const OptionTerms& terms) {
  return {terms.trays, terms.batch.sower, terms.batch.wanted.low, terms.day};
}

std::optional<WorthWaiting> worth_waiting(const Belief& belief, const OptionTerms& terms) {
  if (!terms.day || !terms.look_again_on) return std::nullopt;
  WorthWaiting waiting;
  waiting.until_day = std::min(*terms.look_again_on, *terms.day + terms.days_to_planting.value_or(1e9));
  if (waiting.until_day < *terms.day + .5) return std::nullopt;
  const auto growths = growth_of(belief, counted_stand(terms), waiting.until_day);
  for (const Growth& growth : growths) waiting.to_come += growth.weight * growth.newcomers.mean;
  double low = 0, high = std::ceil(3 * waiting.to_come + 10);
  while (high - low > 1) {
    const double middle = std::floor((low + high) / 2);
    (chance_of_newcomers(growths, middle) >= kSureToCome ? low : high) = middle;
  }
  waiting.at_least = low;
  waiting.sure = chance_of_newcomers(growths, low);
  return waiting;
}

}  // namespace

int plants_for_a_gap(const OptionTerms& terms) {
  return terms.batch.wanted.low;
}

std::vector<Growth> with_new(std::vector<Growth> growths, double cells, const NewCells& anew, bool in_gaps) {
  for (Growth& growth : growths) {
    const double came = in_gaps ? growth.gap_fills : 0, full = came + (1 - came) * anew.mean;
    growth.full.mean += cells * (full - came);
    growth.full.variance += cells * (full * (1 - full) - came * (1 - came)) +
                            cells * cells * (1 - came) * (1 - came) * anew.variance;
    growth.full.variance = std::max(0., growth.full.variance);
  }
  return growths;
}

Bench bench_of(const Belief& belief, const OptionTerms& terms) {
  require(terms.need >= 1, "full cells needed", terms.need, "≥ 1");
  require(terms.days_to_planting.value_or(0) >= 0, "days to planting", terms.days_to_planting.value_or(0),
          "≥ 0");
  Bench bench{terms, {}, {}, new_cells(belief, terms), terms.batch.economy.hour_price / 60, true, 0};
  count_cells(bench.stand, terms);
  std::optional<double> planting;
  if (terms.day && terms.days_to_planting) planting = *terms.day + *terms.days_to_planting;
  bench.in_time =
      !terms.days_to_planting || *terms.days_to_planting >= terms.batch.economy.least_days_in_tray;
  bench.growths = growth_of(belief, counted_stand(terms), planting);
  for (Growth& growth : bench.growths) {
    growth.full.variance += terms.count_variance;
    bench.came_plants += growth.weight * growth.newcomers.mean;
  }
  bench.stand.waiting = worth_waiting(belief, terms);
  return bench;
}

}  // namespace braird::tray_bench
