// SPDX-License-Identifier: Apache-2.0
#include "calibration/which_to_check.h"

#include <algorithm>
#include <functional>
#include <numeric>
#include <utility>

#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kSure = 1e-6;  // variance of a reading below which there is nothing to learn

}  // namespace

std::vector<std::size_t> cells_to_check(std::span<const CellReading> cells, std::size_t many) {
  for (const CellReading& cell : cells) require(cell.spread >= 0, "spread", cell.spread, "≥ 0");
  std::vector<std::size_t> places(cells.size());
  std::iota(places.begin(), places.end(), std::size_t{0});
  const auto last = places.begin() + static_cast<std::ptrdiff_t>(std::min(many, places.size()));
  std::ranges::partial_sort(places, last, std::less{},
                            [&](std::size_t at) { return std::pair(-cells[at].spread, at); });
  places.erase(last, places.end());
  std::erase_if(places, [&](std::size_t at) { return cells[at].spread < kSure; });
  return places;
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
