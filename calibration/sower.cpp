// SPDX-License-Identifier: Apache-2.0
#include "calibration/sower.h"

#include <vector>

#include "calibration/require.h"

namespace braird {
namespace {

// The drop with one seed more meant.
std::vector<double> with_another(const std::vector<double>& drop, const Sower& sower) {
  std::vector<double> more(drop.size() + 2);
  for (std::size_t k = 0; k < drop.size(); ++k) {
    more[k] += drop[k] * sower.skips;
    more[k + 1] += drop[k] * (1 - sower.skips - sower.doubles);
    more[k + 2] += drop[k] * sower.doubles;
  }
  while (more.size() > 1 && more.back() <= 0) more.pop_back();
  return more;
}

}  // namespace

void check(const Sower& sower) {
  require(sower.missed >= 0 && sower.missed < 1, "share of missed cells", sower.missed, "from 0 to below 1");
  require(sower.skips >= 0 && sower.skips < 1, "share of skipped seeds", sower.skips, "from 0 to below 1");
  require(sower.doubles >= 0 && sower.skips + sower.doubles <= 1, "share of doubled seeds", sower.doubles,
          "from 0 to 1, and no more than are not skipped");
}

SeedDrop drop_of(int seeds, const Sower& sower) {
  require(seeds >= 1, "seeds per cell", seeds, "≥ 1");
  check(sower);
  SeedDrop drop{{1}};
  for (int seed = 0; seed < seeds; ++seed) drop.chance = with_another(drop.chance, sower);
  for (double& chance : drop.chance) chance *= 1 - sower.missed;
  drop.chance[0] += sower.missed;
  return drop;
}

CellDrop cell_drop(int seeds, const Sower& sower) {
  const SeedDrop all = drop_of(seeds, sower);
  if (!sower.clusters) return {all, all, 1, 0};
  return {all, drop_of(1, {0, sower.skips, sower.doubles}), seeds, sower.missed};
}

}  // namespace braird
