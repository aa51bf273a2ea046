// SPDX-License-Identifier: Apache-2.0
#include "calibration/belief_grid.h"

#include <algorithm>
#include <cmath>

#include "calibration/cell_outlook.h"
#include "calibration/emergence_curve.h"
#include "calibration/require.h"

namespace braird::belief_grid {
namespace {

constexpr std::size_t kMostPoints = 240;
constexpr double kReach = 4;      // standard deviations
constexpr double kApart = 0.05;   // a guess, no source
constexpr double kFailed = 0.05;  // likewise: sowings that may come to anything

Witness witness_of(const SeenTray& tray, const Sower& sower, double worth) {
  Witness witness{&tray, {}, cell_drop(tray.seeds, sower), 0, 0, worth};
  for (std::size_t k = 0; k < tray.cells_with.size(); ++k) {
    require(tray.cells_with[k] >= 0, "number of cells", tray.cells_with[k], "≥ 0");
    witness.seedlings += static_cast<double>(k) * tray.cells_with[k];
    witness.seeds += mean_seeds(witness.drop.all) * tray.cells_with[k];
  }
  witness.seedlings = std::min(witness.seedlings, witness.seeds);
  return witness;
}

Witness witness_of(const PastSowing& past) {
  require(past.seeds > 0, "seeds of an earlier sowing", past.seeds, "> 0");
  require(past.seedlings >= 0, "seedlings of an earlier sowing", past.seedlings, "≥ 0");
  return {nullptr, past, {}, std::min(past.seedlings, past.seeds), past.seeds};
}

double log_of_seeds(const Witness& past, double share) {
  const double failed = past.seeds - past.seedlings;
  return (past.seedlings > 0 ? past.seedlings * std::log(share) : 0) +
         (failed > 0 ? failed * std::log1p(-share) : 0);
}

// Against its best share, so that seeds which share a fate are worth fewer, and aren't likelier for it.
double log_chance(const Witness& past, double share, double rho) {
  const double effect = 1 + (past.past.seeds_per_cell - 1) * rho;
  const double best = log_of_seeds(past, past.seedlings / past.seeds);
  return (log_of_seeds(past, share) - best) / effect - std::log(effect) / 2;
}

// `by` is the thinning of final counts to those up on the day.
double log_chance(const SeenTray& tray, const Row& finals, const std::vector<Row>& by) {
  double sum = 0;
  for (std::size_t k = 0; k < tray.cells_with.size(); ++k) {
    if (tray.cells_with[k] <= 0) continue;
    const std::size_t seen = std::min(k, finals.size() - 1);  // a cell fuller than any drop is read as full
    double chance = 0;
    for (std::size_t n = seen; n < finals.size(); ++n) chance += finals[n] * by[n][seen];
    sum += tray.cells_with[k] * std::log(std::max(chance, 1e-300));
  }
  return sum;
}

std::vector<double> logits_for(const std::vector<Witness>& witnesses, bool may_still_come) {
  const double reach = 3.5 * kSpreads.back()[0];
  double low = 6, high = -4, step = .25;
  for (const Witness& witness : witnesses) {
    const double at = witness.crude_logit(), error = witness.error();
    low = std::min(low, at - 5 * error - reach);
    high = std::max(high, may_still_come && witness.tray ? 7 : at + 5 * error + reach);
    step = std::min(step, error / 2);
  }
  if (witnesses.empty()) std::swap(low, high);
  const auto points = std::clamp<std::size_t>(static_cast<std::size_t>((high - low) / step), 25, kMostPoints);
  std::vector<double> logits(points);
  for (std::size_t at = 0; at < points; ++at)
    logits[at] = low + (high - low) * static_cast<double>(at) / static_cast<double>(points - 1);
  return logits;
}

std::vector<KernelRow> kernel(const std::vector<double>& logits, double spread) {
  std::vector<KernelRow> rows(logits.size());
  for (std::size_t i = 0; i < logits.size(); ++i) {
    double sum = 0;
    for (std::size_t j = 0; j < logits.size(); ++j) {
      const double z = (logits[j] - logits[i]) / std::max(spread, 1e-9);
      if (z < -kReach) rows[i].first = j + 1;
      if (std::abs(z) > kReach) continue;
      rows[i].chances.push_back(std::exp(-z * z / 2));
      sum += rows[i].chances.back();
    }
    for (double& chance : rows[i].chances) chance /= sum;
  }
  return rows;
}

// Mostly Beta(3, 1) on the share, as a density on the logit scale. The step from point to point is the same
// for all slices, so it cancels.
double prior_at(double share) {
  return ((1 - kFailed) * 3 * share * share + kFailed) * share * (1 - share);
}

}  // namespace

double Witness::crude_logit() const {
  return logit((seedlings + .5) / (seeds + 1));
}

double Witness::error() const {
  return std::sqrt((1 / (seedlings + .5) + 1 / (seeds - seedlings + .5)) / worth);
}

std::vector<Witness> witnesses_of(const LotEvidence& evidence) {
  require(evidence.worth > 0 && evidence.worth <= 1, "worth of a counted cell", evidence.worth,
          "above 0 and at most 1");
  std::vector<Witness> witnesses;
  for (const SeenTray& tray : evidence.trays)
    witnesses.push_back(witness_of(tray, evidence.sower, evidence.worth));
  for (const PastSowing& past : evidence.earlier) witnesses.push_back(witness_of(past));
  return witnesses;
}

Grid grid_for(const std::vector<Witness>& witnesses, bool may_still_come) {
  Grid grid{logits_for(witnesses, may_still_come), {}, {}};
  for (const double at : grid.logits) grid.prior.push_back(prior_at(share_of(at)));
  for (std::size_t s = 0; s < kSpreads.size(); ++s) grid.kernels[s] = kernel(grid.logits, kSpreads[s][0]);
  return grid;
}

std::vector<Row> finals_of(const Witness& witness, const Grid& grid, double rho) {
  std::vector<Row> finals;
  if (witness.tray)
    for (const double at : grid.logits) finals.push_back(seedling_chances(witness.drop, share_of(at), rho));
  return finals;
}

Row log_chances(const Witness& witness, const std::vector<Row>& finals, const Grid& grid, double rho,
                double up) {
  Row logs;
  if (!witness.tray) {
    for (const double at : grid.logits) logs.push_back(log_chance(witness, share_of(at), rho));
    return logs;
  }
  const auto by = thinning(witness.drop.all.chance.size(), up);
  for (const Row& of_point : finals) logs.push_back(witness.worth * log_chance(*witness.tray, of_point, by));
  return logs;
}

Row smeared(const Row& own, const std::vector<KernelRow>& kernel) {
  Row smeared(own.size());
  for (std::size_t i = 0; i < own.size(); ++i)
    for (std::size_t j = 0; j < kernel[i].chances.size(); ++j)
      smeared[i] += kernel[i].chances[j] * own[kernel[i].first + j];
  return smeared;
}

Row apart_at_times(Row of_lot, const Grid& grid) {
  double sum = 0, of_prior = 0;
  for (std::size_t i = 0; i < of_lot.size(); ++i) {
    sum += grid.prior[i] * of_lot[i];
    of_prior += grid.prior[i];
  }
  for (double& chance : of_lot) chance += kApart * (sum / of_prior - chance);
  return of_lot;
}

}  // namespace braird::belief_grid
