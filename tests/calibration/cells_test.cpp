// SPDX-License-Identifier: Apache-2.0
#include "calibration/cells.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <stdexcept>

#include "calibration/rates.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

Tray photo_of(std::vector<std::vector<double>> chances, const char* crop) {
  Tray tray;
  if (crop) tray.crop = crop;
  for (auto& cell_chances : chances) {
    Cell cell;
    cell.count = static_cast<int>(std::ranges::max_element(cell_chances) - cell_chances.begin());
    cell.probability = std::move(cell_chances);
    tray.cells.push_back(cell);
  }
  return tray;
}

}  // namespace

TEST_CASE("a reading is the cell's count, and how far off it may be") {
  const auto cells = cell_readings(photo_of({{.1, .2, .7}}, "leek"), 2);
  REQUIRE(cells.size() == 1);
  CHECK(cells[0].seedlings == 2);
  CHECK(cells[0].off == doctest::Approx(.2 + 2 * .1));
  CHECK(cells[0].spread == doctest::Approx(.2 + 4 * .1));
  CHECK(cells[0].empty == doctest::Approx(.1));
  CHECK(cells[0].seeds == 2);
}

TEST_CASE("a single seed gives one plant at most: the surplus is cut, and its doubt with it") {
  const auto cells = cell_readings(photo_of({{0, .3, .6, .1}}, "kale"), 1);
  CHECK(cells[0].seedlings == 1);
  CHECK(cells[0].off == 0);  // 1, 2 or 3: all up
  CHECK(germination_rate(cells).estimate == 1);
}

TEST_CASE("beet and chard are sown as clusters and keep what they gave (7 CFR 201.56-1)") {
  for (const char* crop : {"beet", "Swiss chard"}) {
    const auto cells = cell_readings(photo_of({{0, .3, .6, .1}, {0, 0, 0, 1}}, crop), 1);
    CHECK(cells[0].seedlings == 2);
    CHECK(cells[0].off == doctest::Approx(.4));
    CHECK(germination_rate(cells).estimate == doctest::Approx(2.5));
  }
}

TEST_CASE("clusters that the counter may have seen too few in keep their rate open above 1") {
  const std::vector<std::vector<double>> chances(80, {.05, .55, .4});
  CHECK(germination_rate(cell_readings(photo_of(chances, "beet"), 1)).high > 1.4);
  CHECK(germination_rate(cell_readings(photo_of(chances, "kale"), 1)).high <= 1);
}

TEST_CASE("no crop, or one that nobody knows, gives one plant a seed") {
  for (const char* crop : {static_cast<const char*>(nullptr), "moon melon"})
    CHECK(germination_rate(cell_readings(photo_of({{0, 0, 1}, {1}}, crop), 1)).estimate == .5);
}

TEST_CASE("identity: whatever a photo shows of single seeds, no rate exceeds 1 and no limit leaves 0 to 1") {
  std::mt19937 random(3);
  for (int run = 0; run < 300; ++run) {
    const int seeds = 1 + static_cast<int>(random() % 4);
    std::vector<std::vector<double>> chances;
    for (int cell = 0; cell < 12; ++cell) {
      std::vector<double> of(7);
      double sum = 0;
      for (double& chance : of) sum += chance = std::exponential_distribution<>(1)(random);
      for (double& chance : of) chance /= sum;
      chances.push_back(of);
    }
    const auto cells = cell_readings(photo_of(chances, "onion"), seeds);
    for (const Estimate& rate : {germination_rate(cells), gap_rate(cells),
                                 pooled_germination_rate(std::vector{cells, cells, cells})}) {
      CHECK(0 <= rate.low);
      CHECK(rate.low <= rate.estimate);
      CHECK(rate.estimate <= rate.high);
      CHECK(rate.high <= 1);
    }
  }
}

TEST_CASE("hard counts: cut for single seeds, whole for clusters, unsown cells left out") {
  const std::vector<CellCount> cells = {{3, 1}, {0, 0}, {1, 2}, {2, 2}};
  const auto single = cell_readings(cells, SeedKind::single), cluster = cell_readings(cells);
  REQUIRE(single.size() == 3);
  CHECK(single[0].seedlings == 1);
  CHECK(cluster[0].seedlings == 3);
  CHECK(surplus(cells) == 2);
  CHECK(surplus(std::vector<CellCount>{}) == 0);
}

TEST_CASE("cells without chances are hard counts") {
  Tray tray;
  tray.cells.resize(2);
  tray.cells[1].count = 4;
  const auto cells = cell_readings(tray, 3);
  CHECK(cells[0].empty == 1);
  CHECK(cells[1].seedlings == 3);
  CHECK(cells[1].off == 0);
}

TEST_CASE("cells within their seeds, as long as the surplus is a slip") {
  const auto slip = within_seeds(joined(tray_of({10, 90}, 1), {{2, 1}}));
  REQUIRE(slip);
  CHECK(slip->back().seedlings == 1);
  CHECK_FALSE(within_seeds(joined(tray_of({10, 80}, 1), tray_of({0, 0, 10}, 1))));
  CHECK(within_seeds(std::vector<CellCount>{{0, 0}})->empty());
}

TEST_CASE("a seed drop's mean, and drops that are none") {
  CHECK(mean_seeds({{.1, .8, .1}}) == doctest::Approx(1));
  CHECK(mean_seeds({{0, 0, 0, 1}}) == 3);
  CHECK_THROWS_WITH_AS(mean_seeds({{.5, .4}}), "sum of the seed drop is 0.9, but must be 1",
                       std::invalid_argument);
  CHECK_THROWS_WITH_AS(mean_seeds({{1}}), "mean of the seed drop is 0, but must be > 0",
                       std::invalid_argument);
  CHECK_THROWS_AS(mean_seeds({{1.5, -.5}}), std::invalid_argument);
  CHECK_THROWS_AS(mean_seeds({}), std::invalid_argument);
}

TEST_CASE("cells refuse nonsense") {
  CHECK_THROWS_WITH_AS(cell_readings(std::vector<CellCount>{{1, 0}, {1, 1}}),
                       "seedlings is 1, but must be 0 where no seed was sown", std::invalid_argument);
  CHECK_THROWS_WITH_AS(cell_readings(Tray{}, 0), "seeds per cell is 0, but must be > 0",
                       std::invalid_argument);
  CHECK_THROWS_AS(check(std::vector<CellCount>{{0, 0}}), std::invalid_argument);
}
