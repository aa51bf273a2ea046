// SPDX-License-Identifier: Apache-2.0
#include "calibration/growth.h"

#include <algorithm>

#include "calibration/cell_outlook.h"
#include "calibration/require.h"

namespace braird {
namespace {

// First and second moments, summed over the cells of a tray whose germination is known.
struct Sums {
  double full = 0, full_within = 0, newcomers = 0, newcomers_within = 0, gaps_filled = 0;
};

Sums sums_of(const SeenTray& tray, const std::vector<double>& final_chances, int low, const Step& step) {
  Sums sums;
  for (std::size_t k = 0; k < tray.cells_with.size(); ++k) {
    const double cells = tray.cells_with[k];
    if (cells <= 0) continue;
    const auto later = chances_given(final_chances, static_cast<int>(k), step);
    const double full = std::min(1., chance_of_low(later, low));
    double mean = 0, square = 0;
    for (std::size_t n = k; n < later.size(); ++n) {
      const double more = static_cast<double>(n - k);
      mean += more * later[n];
      square += more * more * later[n];
    }
    sums.full += cells * full;
    sums.full_within += cells * full * (1 - full);
    sums.newcomers += cells * mean;
    sums.newcomers_within += cells * (square - mean * mean);
    if (k == 0) sums.gaps_filled += cells * full;
  }
  return sums;
}

// Adds the tray's spread within, and the spread of its mean over what its germination may be.
void add(Spread& to, double mean, double within, double mean_square) {
  to.mean += mean;
  to.variance += std::max(0., within) + std::max(0., mean_square - mean * mean);
}

void add_tray(Growth& growth, const CountedStand& counted, std::size_t number, const StandChance& stand,
              const Step& step) {
  const SeenTray& tray = counted.trays[number];
  const TrayLogit& at = stand.trays.at(number);
  const CellDrop drop = cell_drop(tray.seeds, counted.sower);
  Sums mean;
  double full_square = 0, newcomers_square = 0;
  for (const auto& [weight, share] : shares_around(at.mean, at.spread)) {
    const Sums sums = sums_of(tray, seedling_chances(drop, share, stand.rho), counted.low, step);
    mean.full += weight * sums.full;
    mean.full_within += weight * sums.full_within;
    mean.newcomers += weight * sums.newcomers;
    mean.newcomers_within += weight * sums.newcomers_within;
    mean.gaps_filled += weight * sums.gaps_filled;
    full_square += weight * sums.full * sums.full;
    newcomers_square += weight * sums.newcomers * sums.newcomers;
  }
  add(growth.full, mean.full, mean.full_within, full_square);
  add(growth.newcomers, mean.newcomers, mean.newcomers_within, newcomers_square);
  growth.gap_fills += mean.gaps_filled;
}

}  // namespace

std::vector<Growth> growth_of(const Belief& belief, const CountedStand& counted, std::optional<double> then) {
  const auto& now = counted.day;
  require(!now || !then || *then >= *now, "the later day", then.value_or(0), "not before the count");
  double gaps = 0;
  for (const SeenTray& tray : counted.trays) gaps += tray.cells_with.empty() ? 0 : tray.cells_with[0];
  std::vector<Growth> growths;
  for (const StandChance& stand : belief.stand) {
    Growth growth;
    growth.weight = stand.weight;
    const double up = now ? stand.timing.share_up(*now) : 1;
    const Step step{up, then && now ? stand.timing.share_up(*then) : 1};
    for (std::size_t tray = 0; tray < counted.trays.size(); ++tray)
      add_tray(growth, counted, tray, stand, step);
    if (gaps > 0) growth.gap_fills /= gaps;
    growths.push_back(growth);
  }
  return growths;
}

double chance_of_full(std::span<const Growth> growths, double count, double cells) {
  if (count > cells) return 0;
  double chance = 0;
  for (const Growth& growth : growths)
    chance +=
        growth.weight *
        (growth.full.mean < cells / 2
             ? chance_of_at_least(count, growth.full)
             : 1 - chance_of_at_least(cells - count + 1, {cells - growth.full.mean, growth.full.variance}));
  return std::min(1., chance);
}

double chance_of_newcomers(std::span<const Growth> growths, double count) {
  double chance = 0;
  for (const Growth& growth : growths) chance += growth.weight * chance_of_at_least(count, growth.newcomers);
  return std::min(1., chance);
}

}  // namespace braird
