// SPDX-License-Identifier: Apache-2.0
#include "calibration/rates.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string>

#include "calibration/counter_doubt.h"
#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kMostOverfull = 0.05;  // above it, a cell with more seedlings than seeds is no slip
constexpr double kLeastFreedom = 5;     // of Student's t, chosen by simulated coverage (rates.h)

// Sums over units (cells or whole trays) that yield `seedlings` out of `seeds`.
struct Sample {
  double units = 0;
  double seeds = 0;
  double seedlings = 0;
  double most_seeds = 0;
  double seeds_squared = 0;  // Σ seeds²
  double overfull = 0;       // units with more seedlings than seeds
  double failing = 0;        // units in which a seed failed
  double bearing = 0;        // units with a seedling
  double between = 0;        // Σ (seedlings − rate · seeds)²
  double off = 0;            // Σ of the mean errors that cells own up to
  double rate() const { return seedlings / seeds; }
};

void check_cell(const CellReading& cell) {
  require(cell.seeds >= 0, "seeds", cell.seeds, "≥ 0");
  require(cell.seedlings >= 0, "seedlings", cell.seedlings, "≥ 0");
  require(cell.spread >= 0, "spread", cell.spread, "≥ 0");
  require(cell.off >= 0, "mean error of a cell", cell.off, "≥ 0");
}

// All cells of all trays.
template <typename Trays>
Sample sample(const Trays& trays) {
  Sample sum;
  for (const auto& tray : trays)
    for (const CellReading& cell : tray) {
      check_cell(cell);
      sum.units += cell.seeds > 0;
      sum.seeds += cell.seeds;
      sum.seedlings += cell.seedlings;
      sum.most_seeds = std::max(sum.most_seeds, cell.seeds);
      sum.seeds_squared += cell.seeds * cell.seeds;
      sum.overfull += cell.seedlings > cell.seeds;
      sum.failing += cell.seedlings < cell.seeds;
      sum.bearing += cell.seeds > 0 && cell.seedlings > 0;
      sum.off += cell.off;
    }
  require(sum.seeds > 0, "seeds sown", sum.seeds, "> 0");
  for (const auto& tray : trays)
    for (const CellReading& cell : tray) {
      const double off = cell.seedlings - sum.rate() * cell.seeds;
      sum.between += off * off;
    }
  return sum;
}

Sample sample_of(std::span<const CellReading> cells) {
  return sample(std::array{cells});
}

// Variance of the rate with units as drawn (Cochran 1977, Sampling Techniques, §6.3).
double variance(const Sample& of) {
  return of.units < 2 ? 0 : of.between * of.units / (of.units - 1) / (of.seeds * of.seeds);
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

// What an interval is drawn from: the sample, how much more its rate varies than that of independent units,
// how many standard errors, and one standard error of the counter's own.
struct Basis {
  const Sample& of;
  double confidence = 0;
  double effect = 1;
  double quantile = 0;
  double error = 0;
};

// Mean over units, for rates that may exceed 1. A floor of one seedling's worth keeps a few equal cells from
// looking certain.
Estimate ratio_interval(const Basis& basis) {
  const Sample& of = basis.of;
  const double floor = std::max(of.rate(), 1 / of.seeds) / of.seeds / of.units;
  const double sampled = std::max(variance(of), floor) * basis.effect;
  const double reach = std::hypot(basis.quantile * std::sqrt(sampled),
                                  normal_quantile_two_sided(basis.confidence) * basis.error);
  return {of.rate(), std::max(0.0, of.rate() - reach), of.rate() + reach, ""};
}

Estimate shrunken_wilson(const Basis& basis) {
  const Sample& of = basis.of;
  const Interval limits = wilson_with_error(of.seedlings / basis.effect, of.seeds / basis.effect,
                                            basis.quantile, basis.error, basis.confidence);
  return {of.rate(), limits.low, limits.high, ""};
}

Estimate named(Estimate estimate, std::string method, double error) {
  estimate.method = std::move(method);
  if (error > 0) estimate.method += ", with the counter's doubt";
  return estimate;
}

double freedom_of(const Sample& of, double effect, double confidence) {
  const double z = normal_quantile_two_sided(confidence);
  if (of.most_seeds <= 1) return of.seeds + z * z - 1;
  if (effect <= 1) return std::numeric_limits<double>::infinity();
  return std::min(of.units - 1, kLeastFreedom + 2 * std::min(of.failing, of.bearing));
}

Basis basis_of_cells(const Sample& of, double confidence) {
  const double error = kCounterTrial.kappa * of.off / of.seeds;
  if (per_cluster(of)) return {of, confidence, 1, t_quantile(of.units - 1, confidence), error};
  const double effect = effect_of(of);
  return {of, confidence, effect, t_quantile(freedom_of(of, effect, confidence), confidence), error};
}

// Cells of several trays: the trays' own spread, moderated by the prior (rates.h).
Basis basis_of_trays(const Sample& cells, const Sample& trays, const Basis& within, double confidence) {
  const double plain = per_cluster(cells) ? variance(cells) : binomial_variance(cells);
  const double expected = within.effect + kBetweenTrays.rho * trays.seeds_squared / cells.seeds *
                                              (per_cluster(cells) ? cells.units / cells.seeds : 1);
  const double seen = plain > 0 ? variance(trays) / plain : within.effect;
  const double freedom = kBetweenTrays.weight + trays.units - 1;
  const double moderated = (kBetweenTrays.weight * expected + (trays.units - 1) * seen) / freedom;
  return {cells, confidence, std::max(within.effect, moderated), t_quantile(freedom, confidence),
          within.error};
}

Estimate drawn(const Basis& basis) {
  return per_cluster(basis.of) ? ratio_interval(basis) : shrunken_wilson(basis);
}

// A tray as one unit.
CellReading as_unit(const std::vector<CellReading>& tray) {
  CellReading unit;
  for (const CellReading& cell : tray) {
    unit.seedlings += cell.seedlings;
    unit.seeds += cell.seeds;
  }
  return unit;
}

// Each cell as one draw that is empty or not, and the chance that this is wrong.
std::vector<CellReading> as_gaps(std::span<const CellReading> cells) {
  std::vector<CellReading> gaps;
  gaps.reserve(cells.size());
  for (const CellReading& cell : cells) {
    if (cell.seeds <= 0) continue;
    const bool gap = cell.seedlings <= 0;
    gaps.push_back({gap ? 1.0 : 0.0, 0, 0, 1, gap ? 1 - cell.empty : cell.empty});
  }
  return gaps;
}

// How the method is called for one tray, and for several.
struct MethodNames {
  const char* cells;
  const char* trays;
};
constexpr MethodNames kGermination = {"Wilson, cells as clusters", "Wilson, cells and trays as clusters"};
constexpr MethodNames kClusters = {"seedlings per cluster, Student's t over cells",
                                   "seedlings per cluster, Student's t over cells and trays"};
constexpr MethodNames kGaps = {"Wilson over cells", "Wilson over cells, trays as clusters"};

Estimate of_one_tray(const Sample& of, double confidence, const MethodNames& names) {
  const Basis basis = basis_of_cells(of, confidence);
  return named(drawn(basis), (per_cluster(of) ? kClusters : names).cells, basis.error);
}

Estimate pooled(std::span<const std::vector<CellReading>> trays, double confidence,
                const MethodNames& names) {
  const Sample of_cells = sample(trays);
  std::vector<CellReading> units;
  for (const auto& tray : trays) units.push_back(as_unit(tray));
  const Sample of_trays = sample_of(units);
  if (of_trays.units < 2) return of_one_tray(of_cells, confidence, names);
  const Basis within = basis_of_cells(of_cells, confidence);
  return named(drawn(basis_of_trays(of_cells, of_trays, within, confidence)),
               (per_cluster(of_cells) ? kClusters : names).trays, within.error);
}

}  // namespace

double design_effect(std::span<const CellReading> cells) {
  return effect_of(sample_of(cells));
}

double design_effect(std::span<const CellCount> cells) {
  return design_effect(cell_readings(cells));
}

Estimate germination_rate(std::span<const CellReading> cells, double confidence) {
  return of_one_tray(sample_of(cells), confidence, kGermination);
}

Estimate germination_rate(std::span<const CellCount> cells, double confidence) {
  return germination_rate(cell_readings(cells), confidence);
}

Estimate germination_rate(std::span<const int> seedlings, const SeedDrop& drop, double confidence) {
  const double seeds = mean_seeds(drop);
  std::vector<CellReading> cells;
  for (const int count : seedlings)
    cells.push_back({static_cast<double>(count), 0, count > 0 ? 0.0 : 1.0, seeds});
  const Sample of = sample_of(cells);
  Basis basis = basis_of_cells(of, confidence);
  if (of.rate() > 1) return named(ratio_interval(basis), "Student's t over cells, mean of the seed drop", 0);
  // Cells above the mean of the drop are no clusters here.
  basis.effect = effect_of(of);
  return named(shrunken_wilson(basis), "Wilson, cells as clusters, mean of the seed drop", 0);
}

Estimate gap_rate(std::span<const CellReading> cells, double confidence) {
  return of_one_tray(sample_of(as_gaps(cells)), confidence, kGaps);
}

Estimate gap_rate(std::span<const CellCount> cells, double confidence) {
  return gap_rate(cell_readings(cells), confidence);
}

Estimate pooled_germination_rate(std::span<const std::vector<CellReading>> trays, double confidence) {
  return pooled(trays, confidence, kGermination);
}

Estimate pooled_gap_rate(std::span<const std::vector<CellReading>> trays, double confidence) {
  std::vector<std::vector<CellReading>> gaps;
  for (const auto& tray : trays) gaps.push_back(as_gaps(tray));
  return pooled(gaps, confidence, kGaps);
}

}  // namespace braird
