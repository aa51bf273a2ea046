// SPDX-License-Identifier: Apache-2.0
#include "calibration/empty_cells.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace braird {
namespace {

// Chance that `wanted` given seeds all lie among the failed ones, when `failed` of `seeds` failed at random.
double all_fail(double wanted, double failed, double seeds) {
  if (wanted > failed) return 0;
  return std::exp(std::lgamma(failed + 1) - std::lgamma(failed - wanted + 1) - std::lgamma(seeds + 1) +
                  std::lgamma(seeds - wanted + 1));
}

}  // namespace

Spread empty_cells_given_total(std::span<const CellCount> cells) {
  std::map<int, double> cells_with;
  double seeds = 0, failed = 0;
  for (const CellCount& cell : cells) {
    if (cell.seeds > 0) ++cells_with[cell.seeds];
    seeds += cell.seeds;
    failed += cell.seeds - cell.seedlings;
  }
  Spread empties;
  double pairs = 0;
  for (const auto& [n, many] : cells_with) {
    empties.mean += many * all_fail(n, failed, seeds);
    for (const auto& [other_n, others] : cells_with)
      pairs += many * (others - (n == other_n)) * all_fail(n + other_n, failed, seeds);
  }
  empties.variance = std::max(0.0, pairs + empties.mean - empties.mean * empties.mean);
  return empties;
}

Estimate clusters_alive(const Estimate& gaps, int clusters, double missed) {
  const auto failed = [&](double empty) { return std::max(0.0, (empty - missed) / (1 - missed)); };
  const auto alive = [&](double empty) { return 1 - std::pow(failed(empty), 1. / clusters); };
  return {alive(gaps.estimate), alive(gaps.high), 1 - failed(gaps.low), "clusters that gave any seedling"};
}

}  // namespace braird
