// SPDX-License-Identifier: Apache-2.0
#include "calibration/sowing_check.h"

#include <doctest/doctest.h>

#include <random>
#include <stdexcept>

using namespace braird;

namespace {

Tray tray_of(int rows, int cols, const std::vector<int>& counts) {
  Tray tray;
  tray.layout = {rows, cols, LatticeKind::square};
  for (std::size_t i = 0; i < counts.size(); ++i)
    tray.cells.push_back({static_cast<int>(i) / cols, static_cast<int>(i) % cols, {}, counts[i], {}, false});
  return tray;
}

std::string places(const std::vector<Mending>& walk) {
  std::string text;
  for (const Mending& cell : walk)
    text +=
        std::to_string(cell.row) + "." + std::to_string(cell.col) + "x" + std::to_string(cell.lacks) + " ";
  return text;
}

}  // namespace

TEST_CASE("the walk goes row by row, there and back, over the rows that lack seed") {
  // clang-format off
  const Tray tray = tray_of(4, 4, {0, 1, 1, 0,
                                   1, 2, 1, 1,
                                   0, 1, 0, 1,
                                   1, 0, 1, 0});
  // clang-format on
  CHECK(places(cells_to_mend(tray, 1)) == "0.0x1 0.3x1 2.2x1 2.0x1 3.1x1 3.3x1 ");
  CHECK(cells_to_mend(tray_of(2, 2, {1, 1, 2, 1}), 1).empty());
}

TEST_CASE("cells with some of their seeds lack the rest, and unsure ones say so") {
  Tray tray = tray_of(1, 4, {2, 0, 1, 3});
  tray.cells[2].review = true;
  const auto walk = cells_to_mend(tray, 2);
  CHECK(places(walk) == "0.1x2 0.2x1 ");
  CHECK_FALSE(walk[0].review);
  CHECK(walk[1].review);
}

TEST_CASE("where numbers are doubtful only missed cells are to be mended") {
  Tray tray = tray_of(1, 4, {4, 0, 3, 4});
  CHECK(misnumbered(tray) == 0);
  CHECK(places(cells_to_mend(tray, 4)) == "0.1x4 0.2x1 ");
  for (Cell& cell : tray.cells) cell.probability = {0, 0, 0.1, 0.2, 0.7};
  tray.cells[1].probability = {1, 0, 0, 0, 0};
  tray.cells[2].probability = {0, 0, 0, 0.6, 0.4};
  CHECK(misnumbered(tray) == doctest::Approx(0.25));  // (0.3 + 0 + 0.4 + 0.3) / 4
  CHECK_FALSE(single_seeds_told(tray));
  CHECK(places(cells_to_mend(tray, 4)) == "0.1x4 ");
  tray.cells[0].probability = tray.cells[3].probability = {0, 0, 0, 0.1, 0.9};
  CHECK_FALSE(single_seeds_told(tray));  // 0.15 are wrong
  tray.cells[2].probability = {0, 0, 0, 0.9, 0.1};
  CHECK(single_seeds_told(tray));  // 0.075 are
}

TEST_CASE("shares of skips, doubles and missed cells carry Wilson's intervals") {
  // Newcombe 1998, Stat Med 17:857, table I: 15 of 148 has the score interval 0.0624 to 0.1605, 0 of 20 has 0
  // to 0.1611.
  std::vector<int> counts(148, 1);
  std::fill(counts.begin(), counts.begin() + 15, 0);
  const DropShares shares = drop_shares(tray_of(1, 148, counts), 1);
  CHECK(shares.skips.low == doctest::Approx(0.0624).epsilon(0.001));
  CHECK(shares.skips.high == doctest::Approx(0.1605).epsilon(0.001));
  CHECK(shares.missed.estimate == shares.skips.estimate);
  CHECK(shares.doubles.estimate == 0);
  const DropShares none = drop_shares(tray_of(4, 5, std::vector<int>(20, 3)), 2);
  CHECK(none.skips.high == doctest::Approx(0.1611).epsilon(0.001));
  CHECK(none.doubles.estimate == 1);
}

TEST_CASE("a row of blocked holes is named, with what to check") {
  std::vector<int> counts(72, 1);
  for (int col : {0, 1, 3, 4, 5}) counts[static_cast<std::size_t>(3 * 6 + col)] = 0;
  const auto faults = sower_faults(tray_of(12, 6, counts), 1);
  REQUIRE_FALSE(faults.empty());
  CHECK(faults[0] ==
        "In row 4 the share of cells without a seed is 83 points higher than elsewhere (95 % interval 43 to "
        "97): look "
        "for blocked holes or nozzles in this line.");
}

TEST_CASE("a hole that is blocked in tray after tray is named; two trays alone by chance are not") {
  std::vector<Tray> trays;
  for (const int other : {3, 20, 41, 60}) {
    std::vector<int> counts(72, 1);
    counts[7] = counts[static_cast<std::size_t>(other)] = 0;
    trays.push_back(tray_of(12, 6, counts));
  }
  const auto holes = failed_holes(trays, 1);
  REQUIRE(holes.size() == 1);
  CHECK(holes[0].starts_with("Row 2, column 2 stayed empty in 4 of 4 trays"));
  CHECK(failed_holes(std::vector(1, trays[0]), 1).empty());
}

TEST_CASE("scattered misses blame nobody in at least 19 of 20 trays") {
  std::mt19937 random(3);
  std::bernoulli_distribution missed(0.08);
  int blamed = 0;
  for (int trial = 0; trial < 400; ++trial) {
    std::vector<int> counts(128);
    for (int& count : counts) count = missed(random) ? 0 : 1;
    blamed += !sower_faults(tray_of(8, 16, counts), 1).empty();
  }
  CHECK(blamed <= 29);  // 400 trials at 5 %: 20, and two standard errors
}

TEST_CASE("nonsense is refused with the culprit named") {
  CHECK_THROWS_WITH_AS(drop_shares(tray_of(1, 2, {1, 1}), 0), "seeds per cell is 0, but must be ≥ 1",
                       std::invalid_argument);
  CHECK_THROWS_AS(cells_to_mend(Tray{}, 1), std::invalid_argument);
}
