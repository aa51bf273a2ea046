// SPDX-License-Identifier: Apache-2.0
// The rates of a lot over several trays.
#include <doctest/doctest.h>

#include <random>
#include <stdexcept>

#include "calibration/rates.h"
#include "tests/calibration/near.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("trays that differ widen the interval of their lot") {
  const auto good = cell_readings(tray_of({2, 16, 82}, 2)), poor = cell_readings(tray_of({30, 40, 30}, 2));
  const std::vector<std::vector<CellReading>> alike(3, good), apart = {good, poor, good};
  const Estimate of_alike = pooled_germination_rate(alike), of_apart = pooled_germination_rate(apart);
  CHECK(of_alike.method == "Wilson, cells and trays as clusters");
  CHECK(of_alike.estimate == doctest::Approx(.9));
  CHECK(of_apart.method == of_alike.method);
  CHECK(of_apart.high - of_apart.low > 3 * (of_alike.high - of_alike.low));
  CHECK(pooled_gap_rate(alike).estimate == doctest::Approx(.02));
  CHECK(pooled_gap_rate(apart).method == "Wilson over cells, trays as clusters");
}

TEST_CASE("simulation: lots of two, three and eight trays hold their rate (the whole table: coverage.md)") {
  std::mt19937 random(15);
  const double truth = .85, sum = 1 / kBetweenTrays.rho - 1;  // trays differ as the prior says
  for (const int many : {2, 3, 8}) {
    const int runs = 1500;
    int holds = 0;
    for (int run = 0; run < runs; ++run) {
      std::vector<std::vector<CellReading>> lot;
      for (int tray = 0; tray < many; ++tray) {
        const double a = std::gamma_distribution<>(truth * sum)(random),
                     b = std::gamma_distribution<>((1 - truth) * sum)(random);
        lot.push_back(cell_readings(grown_tray(72, 3, a / (a + b), .05, random)));
      }
      const Estimate rate = pooled_germination_rate(lot);
      holds += rate.low <= truth && truth <= rate.high;
    }
    CAPTURE(many);
    CHECK(holds >= .94 * runs);
  }
}

TEST_CASE("identity: many trays drown what was thought of trays before") {
  std::mt19937 random(16);
  std::vector<std::vector<CellReading>> alike, apart;
  for (int tray = 0; tray < 200; ++tray) {
    alike.push_back(cell_readings(tray_of({1, 9}, 1)));
    apart.push_back(cell_readings(tray % 10 == 0 ? tray_of({10}, 1) : tray_of({0, 10}, 1)));
  }
  const Estimate one = pooled_germination_rate(alike), other = pooled_germination_rate(apart);
  const Interval plain = wilson(1800, 2000), as_trays = wilson(180, 200);
  CHECK_WITHIN(one.high - one.low, plain.high - plain.low, .03 * (plain.high - plain.low));
  CHECK_WITHIN(other.high - other.low, as_trays.high - as_trays.low, .05 * (as_trays.high - as_trays.low));
}

TEST_CASE("seed clusters over several trays") {
  const auto few = cell_readings(tray_of({20, 40, 40}, 1)), many = cell_readings(tray_of({0, 20, 80}, 1));
  const Estimate lot = pooled_germination_rate(std::vector<std::vector<CellReading>>{few, many});
  CHECK(lot.estimate == doctest::Approx(1.5));
  CHECK(lot.method == "seedlings per cluster, Student's t over cells and trays");
  const Estimate one = germination_rate(few);
  CHECK(lot.high - lot.low > one.high - one.low);
}

TEST_CASE("trays without seeds, or none at all") {
  const auto sown = cell_readings(tray_of({5, 20, 75}, 2));
  const std::vector<CellReading> unsown(10);
  CHECK(pooled_germination_rate(std::vector<std::vector<CellReading>>{sown, unsown}).low ==
        germination_rate(sown).low);
  CHECK_THROWS_AS(pooled_germination_rate(std::vector<std::vector<CellReading>>{}), std::invalid_argument);
  CHECK_THROWS_AS(pooled_gap_rate(std::vector<std::vector<CellReading>>{unsown}), std::invalid_argument);
}

TEST_CASE("identity: a lot of one tray is that tray") {
  const std::vector<std::vector<CellReading>> lot = {cell_readings(tray_of({5, 20, 75}, 2))};
  CHECK(pooled_germination_rate(lot).low == germination_rate(lot[0]).low);
  CHECK(pooled_gap_rate(lot).high == gap_rate(lot[0]).high);
}
