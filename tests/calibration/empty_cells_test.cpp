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

TEST_CASE("published: USDA Forest Service nursery manuals (from memory), cells filled by so many seeds") {
  struct Row {
    double germination;
    int seeds;
    double filled;
  };
  for (const Row& row : {Row{.90, 1, .90}, Row{.90, 2, .99}, Row{.80, 2, .96}, Row{.89, 2, .99},
                         Row{.70, 2, .91}, Row{.79, 2, .96}, Row{.60, 3, .94}, Row{.69, 3, .97},
                         Row{.50, 4, .94}, Row{.59, 4, .97}, Row{.40, 5, .92}, Row{.49, 5, .97}}) {
    SeedDrop drop;
    drop.chance.assign(static_cast<std::size_t>(row.seeds) + 1, 0);
    drop.chance.back() = 1;
    CAPTURE(row.germination);
    CHECK_PRINTS(1 - chance_of_gap(drop, row.germination), row.filled, 2);
  }
}

TEST_CASE("a drop that skips leaves gaps that no germination fills") {
  CHECK(chance_of_gap({{.05, .95}}, 1) == doctest::Approx(.05));
  CHECK(chance_of_gap({{.05, .95}}, 0) == doctest::Approx(1));
  CHECK(chance_of_gap({{0, .5, .5}}, .8) == doctest::Approx(.5 * .2 + .5 * .04));
}

TEST_CASE("identity: a drop that never varies leaves gaps as the mean of the exact count") {
  const std::vector<CellCount> cells = tray_of({40, 320, 640}, 2);
  std::vector<int> seedlings;
  for (const CellCount& cell : cells) seedlings.push_back(cell.seedlings);
  const Spread fixed = empty_cells_under_drop(seedlings, {{0, 0, 1}}), exact = empty_cells_given_total(cells);
  CHECK(fixed.mean == doctest::Approx(exact.mean).epsilon(.01));
  CHECK(fixed.variance == doctest::Approx(exact.variance).epsilon(.01));
}
