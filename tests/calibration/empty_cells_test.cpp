// SPDX-License-Identifier: Apache-2.0
#include "calibration/empty_cells.h"

#include <cmath>
#include <random>

#include "near.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

// Mean and variance of the empty cells by going through every way to choose which seeds came up.
Spread by_enumeration(const std::vector<CellCount>& cells) {
  int seeds = 0, up = 0;
  for (const CellCount& cell : cells) seeds += cell.seeds, up += cell.seedlings;
  double ways = 0, sum = 0, squares = 0;
  for (unsigned chosen = 0; chosen < 1u << seeds; ++chosen) {
    if (__builtin_popcount(chosen) != up) continue;
    unsigned rest = chosen;
    double empty = 0;
    for (const CellCount& cell : cells) {
      empty += cell.seeds > 0 && (rest & ((1u << cell.seeds) - 1)) == 0;
      rest >>= cell.seeds;
    }
    ++ways, sum += empty, squares += empty * empty;
  }
  return {sum / ways, squares / ways - sum / ways * sum / ways};
}

}  // namespace

TEST_CASE("identity: the exact moments are those of all ways to choose the seeds that came up") {
  for (const auto& cells : {tray_of({1, 2, 3}, 2), tray_of({2, 1, 0, 2}, 3), tray_of({3, 4}, 1),
                            joined(tray_of({1, 2, 1}, 2), tray_of({1, 0, 1, 1}, 3)), tray_of({4}, 3),
                            tray_of({0, 0, 5}, 2), joined(tray_of({1, 1}, 1), tray_of({2}, 0))}) {
    const Spread exact = empty_cells_given_total(cells), counted = by_enumeration(cells);
    CHECK(exact.mean == doctest::Approx(counted.mean));
    CHECK(exact.variance == doctest::Approx(counted.variance));
  }
}
