// SPDX-License-Identifier: Apache-2.0
#include "calibration/rates.h"

#include <algorithm>
#include <cmath>

#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kMostOverfull = 0.05;  // above it, a cell with more seedlings than seeds is no slip

// Sums over units (cells or whole trays) that yield `seedlings` out of `seeds`.
struct Sample {
  double units = 0;
  double seeds = 0;
  double seedlings = 0;
  double most_seeds = 0;
  double spread = 0;    // variance of the counter's readings
  double overfull = 0;  // units with more seedlings than seeds
  double between = 0;   // Σ (seedlings − rate · seeds)²
  double rate() const { return seedlings / seeds; }
};

Sample sample(std::span<const CellReading> cells) {
  Sample sum;
  for (const CellReading& cell : cells) {
    require(cell.seeds >= 0, "seeds", cell.seeds, "≥ 0");
    require(cell.seedlings >= 0, "seedlings", cell.seedlings, "≥ 0");
    require(cell.spread >= 0, "spread", cell.spread, "≥ 0");
    sum.units += cell.seeds > 0;
    sum.seeds += cell.seeds;
    sum.seedlings += cell.seedlings;
    sum.most_seeds = std::max(sum.most_seeds, cell.seeds);
    sum.spread += cell.spread;
    sum.overfull += cell.seedlings > cell.seeds;
  }
  require(sum.seeds > 0, "seeds sown", sum.seeds, "> 0");
  for (const CellReading& cell : cells) {
    const double off = cell.seedlings - sum.rate() * cell.seeds;
    sum.between += off * off;
  }
  return sum;
}

// Variance of the rate with units as drawn (Cochran 1977, Sampling Techniques, §6.3). Readings spread less
// than the seedlings behind them; their own spread makes up for it, so that a photo is never surer than a
// hand count.
double variance(const Sample& of) {
  const double sampled = of.units < 2 ? 0 : of.between * of.units / (of.units - 1);
  return (sampled + of.spread) / (of.seeds * of.seeds);
}

double binomial_variance(const Sample& of) {
  return of.rate() * (1 - of.rate()) / of.seeds;
}

// Between none and all seeds of a unit sharing one fate.
double effect_of(const Sample& of) {
  const double plain = binomial_variance(of);
  return plain > 0 ? std::clamp(variance(of) / plain, 1.0, std::max(1.0, of.most_seeds)) : 1;
}

bool per_cluster(const Sample& of) {
  return of.rate() > 1 || of.overfull > kMostOverfull * of.units;
}

Estimate ratio_interval(const Sample& of, double confidence) {
  // A floor of one seedling's worth keeps a few equal cells from looking certain.
  const double floor = std::max(of.rate(), 1 / of.seeds) / of.seeds / of.units;
  const double reach = t_quantile(of.units - 1, confidence) * std::sqrt(std::max(variance(of), floor));
  return {of.rate(), std::max(0.0, of.rate() - reach), of.rate() + reach, ""};
}

Estimate shrunken_wilson(const Sample& of, double effect, double quantile) {
  const Interval limits = wilson_for_z(of.seedlings / effect, of.seeds / effect, quantile);
  return {of.rate(), limits.low, limits.high, ""};
}

Estimate named(Estimate estimate, const char* method) {
  estimate.method = method;
  return estimate;
}

Estimate clustered(const Sample& of, double confidence) {
  const double effect = effect_of(of);
  const double quantile =
      effect > 1 ? t_quantile(of.units - 1, confidence) : normal_quantile_two_sided(confidence);
  return shrunken_wilson(of, effect, quantile);
}

// A tray as one unit.
CellReading as_unit(const std::vector<CellReading>& tray) {
  CellReading unit;
  for (const CellReading& cell : tray) {
    unit.seedlings += cell.seedlings;
    unit.spread += cell.spread;
    unit.seeds += cell.seeds;
  }
  return unit;
}

// Each cell as one draw that is empty or not.
std::vector<CellReading> as_gaps(std::span<const CellReading> cells) {
  std::vector<CellReading> gaps;
  gaps.reserve(cells.size());
  for (const CellReading& cell : cells)
    if (cell.seeds > 0) gaps.push_back({cell.empty, cell.empty * (1 - cell.empty), 0, 1});
  return gaps;
}

struct MethodNames {
  const char* cells;
  const char* trays;
};

Estimate pooled(std::span<const std::vector<CellReading>> trays, double confidence, MethodNames names) {
  std::vector<CellReading> cells, units;
  for (const auto& tray : trays) {
    cells.insert(cells.end(), tray.begin(), tray.end());
    units.push_back(as_unit(tray));
  }
  const Sample of_cells = sample(cells), of_trays = sample(units);
  const bool apart = of_trays.units > 1 && variance(of_trays) > variance(of_cells);
  const Sample& unit = apart ? of_trays : of_cells;
  const char* name = apart ? names.trays : names.cells;
  if (per_cluster(of_cells)) return named(ratio_interval(unit, confidence), name);
  return named(clustered(unit, confidence), name);
}

}  // namespace

double design_effect(std::span<const CellReading> cells) {
  return effect_of(sample(cells));
}

double design_effect(std::span<const CellCount> cells) {
  return design_effect(cell_readings(cells));
}

Estimate germination_rate(std::span<const CellReading> cells, double confidence) {
  const Sample of = sample(cells);
  if (per_cluster(of))
    return named(ratio_interval(of, confidence), "seedlings per cluster, Student's t over cells");
  return named(clustered(of, confidence), "Wilson, cells as clusters");
}

Estimate germination_rate(std::span<const CellCount> cells, double confidence) {
  return germination_rate(cell_readings(cells), confidence);
}

Estimate germination_rate(std::span<const int> seedlings, const SeedDrop& drop, double confidence) {
  const double seeds = mean_seeds(drop);
  std::vector<CellReading> cells;
  for (const int count : seedlings)
    cells.push_back({static_cast<double>(count), 0, count > 0 ? 0.0 : 1.0, seeds});
  const Sample of = sample(cells);
  const char* name = "Wilson, cells as clusters, mean of the seed drop";
  if (of.rate() > 1) return named(ratio_interval(of, confidence), name);
  return named(clustered(of, confidence), name);
}

Estimate gap_rate(std::span<const CellReading> cells, double confidence) {
  return named(clustered(sample(as_gaps(cells)), confidence), "Wilson over cells");
}

Estimate gap_rate(std::span<const CellCount> cells, double confidence) {
  return gap_rate(cell_readings(cells), confidence);
}

Estimate pooled_germination_rate(std::span<const std::vector<CellReading>> trays, double confidence) {
  return pooled(trays, confidence, {"Wilson, cells as clusters", "Wilson, trays as clusters"});
}

Estimate pooled_gap_rate(std::span<const std::vector<CellReading>> trays, double confidence) {
  std::vector<std::vector<CellReading>> gaps;
  for (const auto& tray : trays) gaps.push_back(as_gaps(tray));
  return pooled(gaps, confidence, {"Wilson over cells", "Wilson, trays as clusters"});
}

}  // namespace braird
