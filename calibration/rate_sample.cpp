// SPDX-License-Identifier: Apache-2.0
#include "calibration/rate_sample.h"

#include <algorithm>
#include <array>

#include "calibration/limits.h"
#include "calibration/require.h"

namespace braird {
namespace {

void check_cell(const CellReading& cell) {
  require(cell.seeds >= 0, "seeds", cell.seeds, "≥ 0");
  require(cell.seedlings >= 0, "seedlings", cell.seedlings, "≥ 0");
  require(cell.spread >= 0, "spread", cell.spread, "≥ 0");
  require(cell.off >= 0, "mean error of a cell", cell.off, "≥ 0");
}

template <typename Trays>
RateSample sample(const Trays& trays) {
  RateSample sum;
  for (const auto& tray : trays)
    for (const CellReading& cell : tray) {
      check_cell(cell);
      sum.units += cell.seeds > 0;
      sum.seeds += cell.seeds;
      sum.seedlings += cell.seedlings;
      sum.most_seeds = std::max(sum.most_seeds, cell.seeds);
      sum.seeds_squared += cell.seeds * cell.seeds;
      sum.overfull += cell.seedlings > cell.seeds ? 1 : cell.overfull;
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

}  // namespace

RateSample rate_sample(std::span<const CellReading> cells) {
  return sample(std::array{cells});
}

RateSample rate_sample(std::span<const std::vector<CellReading>> trays) {
  return sample(trays);
}

double sampled_variance(const RateSample& of) {
  return of.units < 2 ? 0 : of.between * of.units / (of.units - 1) / (of.seeds * of.seeds);
}

double binomial_variance(const RateSample& of) {
  return of.rate() * (1 - of.rate()) / of.seeds;
}

double design_effect(const RateSample& of) {
  const double plain = binomial_variance(of);
  return plain > 0 ? std::clamp(sampled_variance(of) / plain, 1.0, std::max(1.0, of.most_seeds)) : 1;
}

bool per_cluster(const RateSample& of) {
  return of.rate() > 1 || of.overfull > kMostOverfull * of.units;
}

}  // namespace braird
