// SPDX-License-Identifier: Apache-2.0
#include "calibration/rates.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "calibration/require.h"

namespace braird {
namespace {

struct Totals {
  double cells = 0;      // cells that had a seed
  double seeds = 0;
  double seedlings = 0;
  double empty = 0;
  int most_seeds = 0;
  bool clusters = false;  // some cell holds more seedlings than seeds
};

Totals total(std::span<const CellCount> cells) {
  Totals sum;
  for (const CellCount& cell : cells) {
    require(cell.seeds >= 0, "seeds", cell.seeds, "≥ 0");
    require(cell.seedlings >= 0, "seedlings", cell.seedlings, "≥ 0");
    require(cell.seeds > 0 || cell.seedlings == 0, "seedlings", cell.seedlings, "0 where no seed was sown");
    sum.cells += cell.seeds > 0;
    sum.seeds += cell.seeds;
    sum.seedlings += cell.seedlings;
    sum.empty += cell.seeds > 0 && cell.seedlings == 0;
    sum.most_seeds = std::max(sum.most_seeds, cell.seeds);
    sum.clusters |= cell.seedlings > cell.seeds;
  }
  require(sum.seeds > 0, "seeds sown", sum.seeds, "> 0");
  return sum;
}

// Variance of the ratio seedlings / seeds with cells as the sampled unit (Cochran 1977, Sampling Techniques, §6.3).
double ratio_variance(std::span<const CellCount> cells, const Totals& sum) {
  if (sum.cells < 2) return 0;
  const double rate = sum.seedlings / sum.seeds;
  double squares = 0;
  for (const CellCount& cell : cells) squares += std::pow(cell.seedlings - rate * cell.seeds, 2);
  return squares * sum.cells / (sum.cells - 1) / (sum.seeds * sum.seeds);
}

double t_quantile(double freedom, double confidence) {
  require(confidence > 0 && confidence < 1, "confidence", confidence, "between 0 and 1");
  return boost::math::quantile(boost::math::students_t(std::max(1.0, freedom)), (1 + confidence) / 2);
}

Estimate cluster_ratio(std::span<const CellCount> cells, const Totals& sum, double confidence) {
  const double rate = sum.seedlings / sum.seeds;
  // A floor of Poisson spread keeps a handful of equal cells from looking certain.
  const double variance = std::max(ratio_variance(cells, sum), rate / sum.seeds / sum.cells);
  const double reach = t_quantile(sum.cells - 1, confidence) * std::sqrt(variance);
  return {rate, std::max(0.0, rate - reach), rate + reach, "seedlings per cluster, Student's t over cells"};
}

}  // namespace

std::vector<CellCount> cell_counts(const Tray& tray, int seeds_per_cell) {
  require(seeds_per_cell >= 1, "seeds per cell", seeds_per_cell, "≥ 1");
  std::vector<CellCount> cells;
  cells.reserve(tray.cells.size());
  for (const Cell& cell : tray.cells) cells.push_back({cell.count, seeds_per_cell});
  return cells;
}

double design_effect(std::span<const CellCount> cells) {
  const Totals sum = total(cells);
  const double rate = sum.seedlings / sum.seeds;
  if (rate <= 0 || rate >= 1) return 1;
  const double effect = ratio_variance(cells, sum) / (rate * (1 - rate) / sum.seeds);
  return std::clamp(effect, 1.0, static_cast<double>(sum.most_seeds));
}

Estimate germination_rate(std::span<const CellCount> cells, double confidence) {
  const Totals sum = total(cells);
  if (sum.clusters) return cluster_ratio(cells, sum, confidence);
  const double effect = design_effect(cells);
  const double z =
      effect > 1 ? t_quantile(sum.cells - 1, confidence) : normal_quantile_two_sided(confidence);
  const Interval limits = wilson_for_z(sum.seedlings / effect, sum.seeds / effect, z);
  return {sum.seedlings / sum.seeds, limits.low, limits.high, "Wilson, cells as clusters"};
}

Estimate gap_rate(std::span<const CellCount> cells, double confidence) {
  const Totals sum = total(cells);
  const Interval limits = wilson(sum.empty, sum.cells, confidence);
  return {sum.empty / sum.cells, limits.low, limits.high, "Wilson over cells"};
}

}  // namespace braird
