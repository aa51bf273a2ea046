// SPDX-License-Identifier: Apache-2.0
#include "calibration/rates.h"

#include <stdexcept>
#include <vector>

#include "near.h"

using namespace braird;

namespace {

// `many` cells of `seeds` seeds with so many seedlings each.
std::vector<CellCount> alike(int many, int seedlings, int seeds) {
  return std::vector<CellCount>(static_cast<std::size_t>(many), CellCount{seedlings, seeds});
}

std::vector<CellCount> joined(std::vector<CellCount> first, const std::vector<CellCount>& second) {
  first.insert(first.end(), second.begin(), second.end());
  return first;
}

}  // namespace

TEST_CASE("identity: with one seed a cell the rate is Wilson's and the gaps are its mirror") {
  const auto tray = joined(alike(98, 1, 1), alike(6, 0, 1));
  const Estimate rate = germination_rate(tray);
  const Estimate gaps = gap_rate(tray);
  CHECK(rate.estimate == doctest::Approx(98.0 / 104));
  CHECK_PRINTS(gaps.low, 1 - .9733, 4);
  CHECK_PRINTS(gaps.high, 1 - .8798, 4);
}

TEST_CASE("cells that fail whole widen the interval as if each were one seed") {
  const auto tray = joined(alike(80, 4, 4), alike(20, 0, 4));
  const Estimate clustered = germination_rate(tray);
  const Interval as_cells = wilson(80, 100);
  const Interval as_seeds = wilson(320, 400);
  CHECK(design_effect(tray) == doctest::Approx(4).epsilon(0.02));
  CHECK(clustered.low == doctest::Approx(as_cells.low).epsilon(0.01));
  CHECK(clustered.low < as_seeds.low - 0.03);
}

TEST_CASE("beet clusters may give more than one seedling each") {
  const auto tray = joined(alike(40, 2, 1), joined(alike(40, 1, 1), alike(20, 0, 1)));
  const Estimate rate = germination_rate(tray);
  CHECK(rate.estimate == doctest::Approx(1.2));
  CHECK(rate.low < 1.2);
  CHECK(rate.high > 1.2);
  CHECK(rate.method == "seedlings per cluster, Student's t over cells");
  CHECK(gap_rate(tray).estimate == doctest::Approx(0.2));
}

TEST_CASE("unsown cells are no gaps") {
  CHECK(gap_rate(joined(alike(10, 1, 1), alike(5, 0, 0))).estimate == 0);
}

TEST_CASE("rates refuse nonsense") {
  CHECK_THROWS_WITH_AS(germination_rate({}), "seeds sown is 0, but must be > 0", std::invalid_argument);
  CHECK_THROWS_AS(germination_rate(alike(3, -1, 2)), std::invalid_argument);
  CHECK_THROWS_AS(germination_rate(alike(3, 1, -2)), std::invalid_argument);
  CHECK_THROWS_AS(gap_rate(alike(3, 1, 0)), std::invalid_argument);
  CHECK_THROWS_AS(germination_rate(alike(3, 1, 2), 1.5), std::invalid_argument);
}

TEST_CASE("a counted tray gives its cells") {
  Tray tray;
  tray.cells.resize(2);
  tray.cells[0].count = 3;
  const auto cells = cell_counts(tray, 4);
  REQUIRE(cells.size() == 2);
  CHECK(cells[0].seedlings == 3);
  CHECK(cells[1].seeds == 4);
  CHECK_THROWS_WITH_AS(cell_counts(tray, 0), "seeds per cell is 0, but must be ≥ 1", std::invalid_argument);
}
