// SPDX-License-Identifier: Apache-2.0
#include "calibration/rates.h"

#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>
#include <stdexcept>

#include "near.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("identity: with one seed a cell, Wilson's equation with Student's t; the gaps are its mirror") {
  const auto tray = tray_of({6, 98}, 1);
  const Estimate rate = germination_rate(tray), gaps = gap_rate(tray);
  CHECK(rate.estimate == doctest::Approx(98.0 / 104));
  const double t = quantile(boost::math::students_t(104 + 1.959964 * 1.959964 - 1), .975);
  for (const double limit : {rate.low, rate.high})
    CHECK(std::abs(rate.estimate - limit) == doctest::Approx(t * std::sqrt(limit * (1 - limit) / 104)));
  // SciPy 1.10.1: t is 1.982417, and these the roots.
  check_prints({rate.low, rate.high}, {.878885, .973519}, 6);
  CHECK(gaps.low == doctest::Approx(1 - rate.high));
  CHECK(gaps.high == doctest::Approx(1 - rate.low));
}

namespace {

// The chance of `up` out of `cells`, summed over rates from `low` to `high` on the logit scale.
double chance_within(int up, int cells, double low, double high) {
  auto chance = [&](double at) { return pdf(boost::math::binomial(cells, 1 / (1 + std::exp(-at))), up); };
  return low < high ? boost::math::quadrature::gauss<double, 30>::integrate(chance, low, high) : 0;
}

double as_logit(double rate) {
  return std::log(rate / (1 - rate));
}

// How often the interval holds the rate of one seed a cell, exactly: mean over rates within ±0.5 of `middle`
// on the logit scale, as in coverage.cpp.
double exact_coverage(const std::vector<Estimate>& by_count, double middle) {
  const int cells = static_cast<int>(by_count.size()) - 1;
  double held = 0;
  for (int up = 0; up <= cells; ++up) {
    const Estimate& rate = by_count[static_cast<std::size_t>(up)];
    held += chance_within(up, cells, std::max(middle - .5, as_logit(rate.low)),
                          std::min(middle + .5, as_logit(rate.high)));
  }
  return held;
}

}  // namespace

TEST_CASE("exact: with one seed a cell the interval holds rates around 0.5 to 0.99 in 94 to 97 %") {
  for (const int cells : {20, 21, 22, 25, 32, 50, 72, 104, 128, 200, 300}) {
    std::vector<Estimate> by_count;
    for (int up = 0; up <= cells; ++up) by_count.push_back(germination_rate(tray_of({cells - up, up}, 1)));
    for (int step = 0; step <= 40; ++step) {
      const double held = exact_coverage(by_count, as_logit(.99) * step / 40);
      CAPTURE(cells);
      CAPTURE(step);
      CHECK(held >= .94);
      CHECK(held <= .97);
    }
  }
}

TEST_CASE("cells that fail whole widen the interval as if each were one seed") {
  const auto tray = tray_of({20, 0, 0, 0, 80}, 4);
  const Estimate clustered = germination_rate(tray);
  const Interval as_cells = wilson(80, 100), as_seeds = wilson(320, 400);
  CHECK(design_effect(tray) == doctest::Approx(4));
  CHECK_WITHIN(clustered.low, as_cells.low, .005);
  CHECK(clustered.low < as_seeds.low - 0.03);
}

// Student's t, tables: 2.2010 with 11 degrees of freedom (5 + 2 · 3), 2.0141 with 45, 2.0930 with 19.
TEST_CASE(
    "where few cells hold all that failed, or all that came up, their spread is known from them alone") {
  auto check_drawn_with = [](double t, const std::vector<CellCount>& tray) {
    const Estimate rate = germination_rate(tray);
    const double size = 4. * static_cast<double>(tray.size()) / design_effect(tray);
    const Interval told = wilson_for_z(rate.estimate * size, size, t);
    CHECK(rate.low == doctest::Approx(told.low).epsilon(1e-5));
    CHECK(rate.high == doctest::Approx(told.high).epsilon(1e-5));
  };
  check_drawn_with(2.2010, tray_of({1, 1, 1, 0, 97}, 4));
  check_drawn_with(2.2010, tray_of({97, 0, 1, 1, 1}, 4));
  check_drawn_with(2.0141, tray_of({20, 0, 0, 0, 80}, 4));
  check_drawn_with(2.0930, tray_of({10, 0, 0, 0, 10}, 4));
}

TEST_CASE("cells that are evener than chance don't narrow the interval") {
  const auto tray = tray_of({0, 100}, 2);
  CHECK(design_effect(tray) == 1);
  CHECK(germination_rate(tray).low == doctest::Approx(wilson(100, 200).low));
}

TEST_CASE("beet clusters may give more than one seedling each") {
  const auto tray = tray_of({20, 40, 40}, 1);
  const Estimate rate = germination_rate(tray);
  CHECK(rate.estimate == doctest::Approx(1.2));
  // Mean 1.2, variance 0.56 · 100/99, t quantile 1.98422 with 99 degrees of freedom.
  CHECK_PRINTS(rate.low, 1.0508, 4);
  CHECK_PRINTS(rate.high, 1.3492, 4);
  CHECK(rate.method == "seedlings per cluster, Student's t over cells");
  CHECK(gap_rate(tray).estimate == doctest::Approx(0.2));
}

TEST_CASE("every cluster gives two: certain of the sample, not of the lot") {
  const Estimate rate = germination_rate(tray_of({0, 0, 30}, 1));
  CHECK(rate.low < 2);
  CHECK(rate.high > 2);
}

TEST_CASE("one double among many cells is a slip, not a cluster") {
  const Estimate rate = germination_rate(joined(tray_of({10, 90}, 1), {{2, 1}}));
  CHECK(rate.method == "Wilson, cells as clusters");
  CHECK(rate.high < 1);
}

TEST_CASE("unsown cells are no gaps") {
  CHECK(gap_rate(joined(tray_of({0, 10}, 1), tray_of({5}, 0))).estimate == 0);
}

TEST_CASE("identity: a counter that is sure reads like a hard count") {
  const auto tray = tray_of({5, 20, 75}, 2);
  const Estimate hard = germination_rate(tray), read = germination_rate(cell_readings(tray));
  CHECK(read.estimate == hard.estimate);
  CHECK(read.low == hard.low);
  CHECK(gap_rate(cell_readings(tray)).high == gap_rate(tray).high);
}

TEST_CASE("a counter that is unsure is never surer than a hand count") {
  Tray tray;
  tray.cells.resize(100);
  for (std::size_t at = 0; at < 100; ++at) {
    tray.cells[at].count = at < 10 ? 0 : at < 90 ? 1 : 2;
    tray.cells[at].probability = at < 10 ? std::vector<double>{.9, .1} : std::vector<double>{.05, .9, .05};
    if (at >= 90) tray.cells[at].probability = {0, .1, .9};
  }
  const auto readings = cell_readings(tray, 2);
  CHECK(readings[50].seedlings == 1);
  CHECK(readings[50].spread == doctest::Approx(.1));
  CHECK(readings[50].off == doctest::Approx(.1));
  const Estimate rate = germination_rate(readings), sure = germination_rate(tray_of({10, 80, 10}, 2));
  CHECK(rate.estimate == doctest::Approx(sure.estimate));
  CHECK(rate.high - rate.low > 1.2 * (sure.high - sure.low));
  CHECK(rate.method == "Wilson, cells as clusters, with the counter's doubt");
  const Estimate gaps = gap_rate(readings), seen = gap_rate(tray_of({10, 80, 10}, 2));
  CHECK(gaps.estimate == seen.estimate);
  CHECK(gaps.high > seen.high);
  CHECK(gaps.low < seen.low);
}

TEST_CASE("rates refuse nonsense") {
  CHECK_THROWS_WITH_AS(germination_rate(std::vector<CellCount>{}), "seeds sown is 0, but must be > 0",
                       std::invalid_argument);
  CHECK_THROWS_WITH_AS(germination_rate(std::vector<CellCount>{{-1, 2}}), "seedlings is -1, but must be ≥ 0",
                       std::invalid_argument);
  CHECK_THROWS_AS(germination_rate(std::vector<CellCount>{{1, -2}}), std::invalid_argument);
  CHECK_THROWS_AS(gap_rate(tray_of({3}, 0)), std::invalid_argument);
  CHECK_THROWS_AS(gap_rate(std::vector<CellCount>{{1, 0}, {1, 1}}), std::invalid_argument);
  CHECK_THROWS_AS(germination_rate(tray_of({3, 3}, 2), 1.5), std::invalid_argument);
  CHECK_THROWS_AS(germination_rate(std::vector<CellReading>{{1, -1, 0, 2}}), std::invalid_argument);
}

TEST_CASE("a counted tray gives its cells") {
  Tray tray;
  tray.cells.resize(2);
  tray.cells[0].count = 3;
  const auto cells = cell_counts(tray, 4);
  REQUIRE(cells.size() == 2);
  CHECK(cells[0].seedlings == 3);
  CHECK(cells[1].seeds == 4);
  CHECK(cell_readings(tray, 4)[1].empty == 1);
  CHECK_THROWS_WITH_AS(cell_counts(tray, 0), "seeds per cell is 0, but must be ≥ 1", std::invalid_argument);
  CHECK_THROWS_AS(cell_readings(tray, -1), std::invalid_argument);
}

TEST_CASE(
    "simulation: the default interval holds the rate in 93 to 97.5 % of trays (the whole table: "
    "coverage.md)") {
  std::mt19937 random(77);
  struct Setting {
    int cells, seeds;
    double rate, rho;
  };
  for (const Setting& s : {Setting{20, 2, .8, .05}, Setting{104, 1, .9, 0}, Setting{128, 4, .9, .15},
                           Setting{264, 4, .95, .05}, Setting{300, 6, .7, .1}}) {
    const int runs = 3000;
    int holds = 0;
    for (int run = 0; run < runs; ++run) {
      const Estimate rate = germination_rate(grown_tray(s.cells, s.seeds, s.rate, s.rho, random));
      holds += rate.low <= s.rate && s.rate <= rate.high;
    }
    CAPTURE(s.cells);
    CAPTURE(holds);
    CHECK(holds >= .93 * runs);
    CHECK(holds <= .975 * runs);
  }
}

// Where none came up Wilson's limit is z² / (n + z²); of 50 single seeds with t (SciPy 1.10.1: 2.005886).
TEST_CASE("rates of nothing and of everything") {
  for (const double seeds : {1., 3.}) {
    const auto none = germination_rate(tray_of({50}, static_cast<int>(seeds)));
    CHECK(none.estimate == 0);
    CHECK(none.low == 0);
  }
  const auto singles = germination_rate(tray_of({50}, 1)), threes = germination_rate(tray_of({50}, 3));
  CHECK(singles.high == doctest::Approx(2.005886 * 2.005886 / (50 + 2.005886 * 2.005886)));
  CHECK(threes.high == doctest::Approx(1.959964 * 1.959964 / (150 + 1.959964 * 1.959964)));
  const auto all = germination_rate(tray_of({0, 0, 50}, 2));
  CHECK(all.high == 1);
  CHECK(all.low == doctest::Approx(wilson(100, 100).low));
  CHECK(germination_rate(std::vector<CellCount>{{1, 1}}).estimate == 1);
}
