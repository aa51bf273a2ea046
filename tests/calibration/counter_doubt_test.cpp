// SPDX-License-Identifier: Apache-2.0
#include "calibration/counter_doubt.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <stdexcept>

#include "calibration/rates.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

// Cells of one seed, each read as `seen`, with chance `wrong` that it is the other.
std::vector<CellReading> sure_but_for(const std::vector<int>& seen, double wrong) {
  Tray tray;
  for (const int count : seen) {
    Cell cell;
    cell.count = count;
    cell.probability = count == 0 ? std::vector{1 - wrong, wrong} : std::vector{wrong, 1 - wrong};
    tray.cells.push_back(cell);
  }
  return cell_readings(tray, 1);
}

std::vector<int> eighty_of_100() {
  std::vector<int> seen(100, 1);
  std::fill_n(seen.begin(), 20, 0);
  return seen;
}

}  // namespace

TEST_CASE("identity: the error is κ times the mean error that the cells own up to") {
  const auto cells = sure_but_for(eighty_of_100(), .05);
  CHECK(counter_error(cells) == doctest::Approx(kCounterTrial.kappa * .05));
  CHECK(counter_error(cells, {2, 1}) == doctest::Approx(.1));
  CHECK(counter_error(cell_readings(tray_of({3, 4, 5}, 2))) == 0);
}

TEST_CASE("identity: the room grows with the doubt, stays for all photos, and goes with hand counts") {
  double before = 0;
  for (const double wrong : {0., .01, .05, .1, .2}) {
    const Estimate rate = germination_rate(sure_but_for(eighty_of_100(), wrong));
    CHECK(rate.estimate == doctest::Approx(.8));
    CHECK(rate.high - rate.low > before);
    before = rate.high - rate.low;
  }
  CHECK(germination_rate(sure_but_for(eighty_of_100(), 0)).low == wilson(80, 100).low);
  const std::vector<std::vector<CellReading>> photos(40, sure_but_for(eighty_of_100(), .1));
  const Estimate lot = pooled_germination_rate(photos);
  CHECK(lot.estimate - lot.low > 1.9 * counter_error(photos[0]));
  CHECK(lot.method == "Wilson, cells and trays as clusters, with the counter's doubt");
}

TEST_CASE("no doubt takes a rate out of 0 to 1") {
  for (const int seen : {0, 1}) {
    const Estimate rate = germination_rate(sure_but_for(std::vector<int>(30, seen), .4));
    CHECK(rate.low >= 0);
    CHECK(rate.high <= 1);
    CHECK(rate.low <= rate.estimate);
    CHECK(rate.estimate <= rate.high);
  }
}

TEST_CASE("simulation: a photo counter that leans one way still leaves the rate inside (coverage.md)") {
  std::mt19937 random(21);
  const double own = .08, truth = .85;
  int holds = 0, bare = 0;
  const int runs = 1500;
  for (int run = 0; run < runs; ++run) {
    const double net = std::normal_distribution<>(0, kCounterTrial.kappa * own)(random);
    std::vector<int> seen;
    for (const CellCount& cell : grown_tray(128, 1, truth, 0, random)) {
      const double turned =
          net < 0 ? (cell.seedlings == 1 ? -net / truth : 0) : (cell.seedlings == 0 ? net / (1 - truth) : 0);
      const bool turns = std::bernoulli_distribution(std::min(1., turned))(random);
      seen.push_back(turns ? 1 - cell.seedlings : cell.seedlings);
    }
    auto photo = sure_but_for(seen, own);
    const Estimate rate = germination_rate(photo);
    holds += rate.low <= truth && truth <= rate.high;
    for (CellReading& cell : photo) cell.off = 0;
    const Estimate naive = germination_rate(photo);
    bare += naive.low <= truth && truth <= naive.high;
  }
  CHECK(holds >= .94 * runs);
  CHECK(holds <= .99 * runs);
  CHECK(bare < .75 * runs);
}

TEST_CASE("the counter's doubt refuses nonsense") {
  CHECK_THROWS_WITH_AS(counter_error({}), "seeds sown is 0, but must be > 0", std::invalid_argument);
  const std::vector<CellReading> negative = {{1, 0, 0, 1, -.1}};
  CHECK_THROWS_WITH_AS(counter_error(negative), "mean error of a cell is -0.1, but must be ≥ 0",
                       std::invalid_argument);
}
