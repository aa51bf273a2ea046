// SPDX-License-Identifier: Apache-2.0
#include "calibration/sower.h"

#include <vector>

#include "calibration/require.h"

namespace braird {
namespace {

// Chances of 0, 1 and 2 seeds, or seedlings that a cluster can give, from one that was meant. A cluster's
// third could hardly be told from one that is still to come.
std::vector<double> drop_of_one(const Sower& sower) {
  return {sower.skips, 1 - sower.skips - sower.doubles, sower.doubles};
}

}  // namespace

std::vector<double> chances_of_sum(std::span<const double> one, std::span<const double> other) {
  std::vector<double> sum(one.size() + other.size() - 1);
  for (std::size_t k = 0; k < one.size(); ++k)
    for (std::size_t n = 0; n < other.size(); ++n) sum[k + n] += one[k] * other[n];
  return sum;
}

void check(const Sower& sower) {
  require(sower.missed >= 0 && sower.missed < 1, "share of missed cells", sower.missed, "from 0 to below 1");
  require(sower.skips >= 0 && sower.skips < 1, "share of skipped seeds", sower.skips, "from 0 to below 1");
  require(sower.doubles >= 0 && sower.skips + sower.doubles <= 1, "share of doubled seeds", sower.doubles,
          "from 0 to 1, and no more than are not skipped");
}

SeedDrop drop_of(int seeds, const Sower& sower) {
  require(seeds >= 1, "seeds per cell", seeds, "≥ 1");
  check(sower);
  const std::vector<double> one = drop_of_one(sower);
  SeedDrop drop{{1}};
  for (int seed = 0; seed < seeds; ++seed) drop.chance = chances_of_sum(drop.chance, one);
  while (drop.chance.size() > 1 && drop.chance.back() <= 0) drop.chance.pop_back();
  for (double& chance : drop.chance) chance *= 1 - sower.missed;
  drop.chance[0] += sower.missed;
  return drop;
}

double seeds_used(int seeds, const Sower& sower) {
  return mean_seeds(drop_of(seeds, {sower.missed, sower.skips, sower.clusters ? 0 : sower.doubles, false}));
}

double most_of_a_seed(const Sower& sower) {
  return mean_seeds(drop_of(1, {0, 0, sower.doubles, sower.clusters}));
}

CellDrop cell_drop(int seeds, const Sower& sower) {
  const SeedDrop all = drop_of(seeds, sower);
  if (!sower.clusters) return {all, all, 1, 0};
  return {all, drop_of(1, {0, sower.skips, sower.doubles, true}), seeds, sower.missed};
}

}  // namespace braird
