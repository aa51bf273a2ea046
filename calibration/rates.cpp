// SPDX-License-Identifier: Apache-2.0
#include "calibration/rates.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "calibration/counter_doubt.h"
#include "calibration/rate_sample.h"

namespace braird {
namespace {

constexpr double kLeastFreedom = 5;  // of Student's t, chosen by simulated coverage (rates.h)

// What an interval is drawn from: the sample, how much more its rate varies than that of independent units,
// how many standard errors, one standard error of the counter's own, and by how much it counted too low.
struct Basis {
  const RateSample& of;
  double confidence = 0;
  double effect = 1;
  double quantile = 0;
  double error = 0;
  double shift = 0;

  double rate() const {
    return std::clamp(of.rate() + shift, 0.0, per_cluster(of) ? std::numeric_limits<double>::max() : 1.0);
  }
};

// Mean over units, for rates that may exceed 1. A floor of one seedling's worth keeps a few equal cells from
// looking certain.
Estimate ratio_interval(const Basis& basis) {
  const RateSample& of = basis.of;
  const double rate = basis.rate(), floor = std::max(rate, 1 / of.seeds) / of.seeds / of.units;
  const double sampled = std::max(sampled_variance(of), floor) * basis.effect;
  const double reach = std::hypot(basis.quantile * std::sqrt(sampled),
                                  normal_quantile_two_sided(basis.confidence) * basis.error);
  return {rate, std::max(0.0, rate - reach), rate + reach, ""};
}

Estimate shrunken_wilson(const Basis& basis) {
  const RateSample& of = basis.of;
  const double rate = basis.rate(), size = of.seeds / basis.effect;
  const Interval limits = wilson_with_error(rate * size, size, basis.quantile, basis.error, basis.confidence);
  return {rate, limits.low, limits.high, ""};
}

Estimate named(Estimate estimate, std::string method, double error) {
  estimate.method = std::move(method);
  if (error > 0) estimate.method += ", with the counter's doubt";
  return estimate;
}

double freedom_of(const RateSample& of, double effect, double confidence) {
  const double z = normal_quantile_two_sided(confidence);
  if (of.most_seeds <= 1) return of.seeds + z * z - 1;
  if (effect <= 1) return std::numeric_limits<double>::infinity();
  return std::min(of.units - 1, kLeastFreedom + 2 * std::min(of.failing, of.bearing));
}

Basis basis_of_cells(const RateSample& of, double confidence) {
  const double error = kKappa * of.off / of.seeds;
  if (per_cluster(of)) return {of, confidence, 1, t_quantile(of.units - 1, confidence), error, 0};
  const double effect = design_effect(of);
  return {of, confidence, effect, t_quantile(freedom_of(of, effect, confidence), confidence), error, 0};
}

// Cells of several trays: the trays' own spread, moderated by the prior (rates.h).
Basis basis_of_trays(const RateSample& cells, const RateSample& trays, const Basis& within,
                     double confidence) {
  const double plain = per_cluster(cells) ? sampled_variance(cells) : binomial_variance(cells);
  const double expected = within.effect + kBetweenTrays.rho * trays.seeds_squared / cells.seeds *
                                              (per_cluster(cells) ? cells.units / cells.seeds : 1);
  const double seen = plain > 0 ? sampled_variance(trays) / plain : within.effect;
  const double freedom = kBetweenTrays.weight + trays.units - 1;
  const double moderated = (kBetweenTrays.weight * expected + (trays.units - 1) * seen) / freedom;
  return {cells,        confidence, std::max(within.effect, moderated), t_quantile(freedom, confidence),
          within.error, 0};
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

std::vector<CellReading> as_gaps(std::span<const CellReading> cells) {
  std::vector<CellReading> gaps;
  gaps.reserve(cells.size());
  for (const CellReading& cell : cells)
    if (cell.seeds > 0) gaps.push_back(gap_reading(cell));
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

Estimate of_one_tray(const RateSample& of, double confidence, const MethodNames& names) {
  const Basis basis = basis_of_cells(of, confidence);
  return named(drawn(basis), (per_cluster(of) ? kClusters : names).cells, basis.error);
}

Estimate pooled(std::span<const std::vector<CellReading>> trays, const std::optional<CounterCheck>& check,
                double confidence, const MethodNames& names) {
  const RateSample of_cells = rate_sample(trays);
  std::vector<CellReading> units;
  for (const auto& tray : trays) units.push_back(as_unit(tray));
  const RateSample of_trays = rate_sample(units);
  const MethodNames& called = per_cluster(of_cells) ? kClusters : names;
  const bool alone = of_trays.units < 2;
  const Basis within = basis_of_cells(of_cells, confidence);
  Basis basis = alone ? within : basis_of_trays(of_cells, of_trays, within, confidence);
  if (check) basis.error = check->error, basis.shift = check->shift;
  return named(drawn(basis), alone ? called.cells : called.trays, basis.error);
}

}  // namespace

double design_effect(std::span<const CellReading> cells) {
  return design_effect(rate_sample(cells));
}

double design_effect(std::span<const CellCount> cells) {
  return design_effect(cell_readings(cells));
}

CellReading gap_reading(const CellReading& cell) {
  const bool gap = cell.seedlings <= 0;
  return {gap ? 1.0 : 0.0, 0, 0, 1, gap ? 1 - cell.empty : cell.empty, cell.by_hand};
}

Estimate germination_rate(std::span<const CellReading> cells, double confidence) {
  return of_one_tray(rate_sample(cells), confidence, kGermination);
}

Estimate germination_rate(std::span<const CellCount> cells, double confidence) {
  return germination_rate(cell_readings(cells), confidence);
}

Estimate gap_rate(std::span<const CellReading> cells, double confidence) {
  return of_one_tray(rate_sample(as_gaps(cells)), confidence, kGaps);
}

Estimate gap_rate(std::span<const CellCount> cells, double confidence) {
  return gap_rate(cell_readings(cells), confidence);
}

Estimate pooled_germination_rate(std::span<const std::vector<CellReading>> trays,
                                 const std::optional<CounterCheck>& check, double confidence) {
  return pooled(trays, check, confidence, kGermination);
}

Estimate pooled_gap_rate(std::span<const std::vector<CellReading>> trays,
                         const std::optional<CounterCheck>& check, double confidence) {
  std::vector<std::vector<CellReading>> gaps;
  for (const auto& tray : trays) gaps.push_back(as_gaps(tray));
  return pooled(gaps, check, confidence, kGaps);
}

}  // namespace braird
