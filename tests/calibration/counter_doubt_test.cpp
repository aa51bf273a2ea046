// SPDX-License-Identifier: Apache-2.0
#include "calibration/counter_doubt.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "calibration/rates.h"
#include "photo_counter.h"
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

TEST_CASE("identity: gaps are in doubt by κ times the errors that the cells own up to") {
  const std::vector photos(3, sure_but_for(eighty_of_100(), .05));
  CHECK(doubted_gaps(photos) == doctest::Approx(1.959964 * kKappa * 300 * .05));
  CHECK(doubted_gaps(std::vector(1, cell_readings(tray_of({3, 4, 5}, 2)))) == 0);
}

TEST_CASE("identity: the room grows with the doubt, stays for all photos, and goes with hand counts") {
  double before = 0;
  for (const double wrong : {0., .01, .05, .1, .2}) {
    const Estimate rate = germination_rate(sure_but_for(eighty_of_100(), wrong));
    CHECK(rate.estimate == doctest::Approx(.8));
    CHECK(rate.high - rate.low > before);
    before = rate.high - rate.low;
  }
  CHECK(germination_rate(sure_but_for(eighty_of_100(), 0)).low == germination_rate(tray_of({20, 80}, 1)).low);
  const std::vector<std::vector<CellReading>> photos(40, sure_but_for(eighty_of_100(), .1));
  const Estimate lot = pooled_germination_rate(photos);
  CHECK(lot.estimate - lot.low > 1.9 * kKappa * .1);
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

TEST_CASE(
    "simulation: a counter that errs as measured leaves the rate inside (the whole table: coverage.md)") {
  std::mt19937_64 random(21);
  struct Setting {
    int cells, seeds;
    double rate, rho;
  };
  for (const Setting& s : {Setting{128, 1, .85, 0}, Setting{72, 2, .95, .05}, Setting{264, 4, .7, .1}}) {
    const int runs = 1500;
    int holds = 0, bare_holds = 0;
    for (int run = 0; run < runs; ++run) {
      const auto tray = grown_tray(s.cells, s.seeds, s.rate, s.rho, random);
      auto photo = cell_readings(read_by(any_counter(tray, random), tray, random), s.seeds);
      const Estimate rate = germination_rate(photo);
      for (CellReading& cell : photo) cell.off = 0;
      const Estimate bare = germination_rate(photo);
      holds += rate.low <= s.rate && s.rate <= rate.high;
      bare_holds += bare.low <= s.rate && s.rate <= bare.high;
    }
    CAPTURE(s.cells);
    CAPTURE(holds);
    CHECK(holds >= .945 * runs);
    CHECK(holds <= .985 * runs);
    CHECK(bare_holds < .75 * runs);
  }
}
