// SPDX-License-Identifier: Apache-2.0
#include "calibration/which_to_check.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "calibration/interval.h"
#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kSure = 1e-6;  // variance of a reading below which there is nothing to learn

double width(double variance, double seeds) {
  return 2 * normal_quantile_two_sided(0.95) * std::sqrt(std::max(0.0, variance)) / seeds;
}

}  // namespace

CheckPlan cells_to_check(std::span<const CellReading> cells, std::size_t many) {
  double seeds = 0, doubt = 0;
  for (const CellReading& cell : cells) {
    require(cell.spread >= 0, "spread", cell.spread, "≥ 0");
    seeds += cell.seeds;
    doubt += cell.spread;
  }
  require(seeds > 0, "seeds sown", seeds, "> 0");
  CheckPlan plan;
  plan.cells.resize(cells.size());
  std::iota(plan.cells.begin(), plan.cells.end(), std::size_t{0});
  const auto last = plan.cells.begin() + static_cast<std::ptrdiff_t>(std::min(many, plan.cells.size()));
  std::ranges::partial_sort(plan.cells, last, std::less{},
                            [&](std::size_t at) { return std::pair(-cells[at].spread, at); });
  plan.cells.erase(last, plan.cells.end());
  std::erase_if(plan.cells, [&](std::size_t at) { return cells[at].spread < kSure; });
  plan.width_now = width(doubt, seeds);
  for (const std::size_t at : plan.cells) doubt -= cells[at].spread;
  plan.width_after = width(doubt, seeds);
  return plan;
}

std::vector<CellReading> with_checked(std::vector<CellReading> cells, std::span<const HandCount> checked) {
  for (const HandCount& hand : checked) {
    require(hand.cell < cells.size(), "place of the checked cell", hand.cell, "inside the list");
    require(hand.seedlings >= 0, "seedlings", hand.seedlings, "≥ 0");
    CellReading& cell = cells[hand.cell];
    cell = {static_cast<double>(hand.seedlings), 0, hand.seedlings == 0 ? 1.0 : 0.0, cell.seeds, 0, true};
  }
  return cells;
}

}  // namespace braird
