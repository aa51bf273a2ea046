// SPDX-License-Identifier: Apache-2.0
#include "calibration/emergence_fit.h"

#include <cmath>
#include <random>
#include <stdexcept>

#include "near.h"
#include "series.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("published: chickweed, Ritz, Pipper & Streibig 2013 (estimates .200, -20.77, 196.05)") {
  const auto fit = fit_emergence(chickweed());
  REQUIRE(fit);
  CHECK_PRINTS(fit->final_share, .20011, 5);
  CHECK_PRINTS(fit->final_share_error, .02830, 5);
  CHECK_PRINTS(fit->steepness, -20.767, 3);
  CHECK_PRINTS(fit->steepness_error, 2.944, 3);
  CHECK_PRINTS(fit->half_time, 196.053, 3);
  CHECK_PRINTS(fit->half_time_error, 2.506, 3);
  CHECK_PRINTS(fit->log_likelihood, -188.172, 3);
  CHECK(fit->settled);
}

TEST_CASE("recomputed in R: wheat and rice of the same paper's data") {
  struct Row {
    Inspections seen;
    double d, b, e, d_error, b_error, e_error, log_likelihood;
    int b_digits, b_error_digits;
  };
  for (const Row& row : {Row{wheat_10(), .90000, -13.169, 6.7801, .0671, 3.10, .231, -26.9785, 3, 2},
                         Row{rice_16(), .50002, -11.585, 7.5114, .1118, 3.22, .404, -26.9573, 3, 2},
                         Row{wheat_22(), .95171, -7.410, 3.8358, .0489, 1.610, .218, -30.7323, 3, 3}}) {
    const auto fit = fit_emergence(row.seen);
    REQUIRE(fit);
    CHECK_PRINTS(fit->final_share, row.d, 5);
    CHECK_PRINTS(fit->steepness, row.b, row.b_digits);
    CHECK_PRINTS(fit->half_time, row.e, 4);
    CHECK_PRINTS(fit->final_share_error, row.d_error, 4);
    CHECK_PRINTS(fit->steepness_error, row.b_error, row.b_error_digits);
    CHECK_PRINTS(fit->half_time_error, row.e_error, 3);
    CHECK_PRINTS(fit->log_likelihood, row.log_likelihood, 4);
  }
}

TEST_CASE("every seed came up: the final share is 1 and only the time is open") {
  const auto fit = fit_emergence(mungbean_16());
  REQUIRE(fit);
  CHECK(fit->final_share == 1);
  CHECK(fit->final_share_error == 0);
  CHECK(fit->settled);
  CHECK(fit->half_time == doctest::Approx(3.1).epsilon(.05));
}

TEST_CASE("identity: the curve meets its own numbers") {
  const EmergenceFit fit{.8, 0, -6, 0, 5, 0, 0};
  CHECK(fit.share_at(0) == 0);
  CHECK(fit.share_at(5) == doctest::Approx(.4));
  CHECK(fit.share_at(1e6) == doctest::Approx(.8));
}

TEST_CASE("fewer than two intervals with seedlings hold no curve") {
  CHECK_FALSE(fit_emergence({20, {3, 5}, {0, 12}}));
  CHECK_FALSE(fit_emergence({20, {3, 5}, {0, 0}}));
  const Estimate forecast = forecast_final_rate({20, {3, 5}, {0, 12}});
  CHECK(forecast.estimate == doctest::Approx(.6));
  CHECK(forecast.low == doctest::Approx(wilson(12, 20).low));
  CHECK(forecast.high == 1);
}

TEST_CASE("all at the first look and nothing since: what is up is what came") {
  const Inspections seen{400, {6, 8, 10, 14, 20}, {240, 240, 240, 240, 240}};
  CHECK_FALSE(fit_emergence(seen));
  CHECK(forecast_final_rate(seen).estimate == doctest::Approx(.6));
  CHECK(forecast_final_rate(seen).low == doctest::Approx(wilson(240, 400).low));
  CHECK(forecast_final_rate(seen).high == doctest::Approx(wilson(240, 400).high));
  CHECK(forecast_final_rate(seen, 2).high == doctest::Approx(wilson(120, 200).high));
  CHECK(forecast_final_rate({400, {6, 7}, {240, 240}}).high == 1);  // a day later more may well come
  CHECK(forecast_final_rate({400, {10, 30}, {0, 0}}).high == 1);
}

TEST_CASE("a curve that still climbs says so") {
  const auto fit = fit_emergence({100, {4, 5, 6, 7}, {1, 5, 15, 35}});
  REQUIRE(fit);
  CHECK_FALSE(fit->settled);
  CHECK(forecast_final_rate({100, {4, 5, 6, 7}, {1, 5, 15, 35}}).high == 1);
}

TEST_CASE("a finished series forecasts what came up, with about Wilson's interval") {
  const Estimate forecast = forecast_final_rate(wheat_10());
  const Interval up = wilson(18, 20);
  CHECK(forecast.estimate == doctest::Approx(.9).epsilon(1e-4));
  CHECK_WITHIN(forecast.low, up.low, .05);
  CHECK_WITHIN(forecast.high, up.high, .015);
  const Estimate wide = forecast_final_rate(wheat_10(), 2);
  CHECK(wide.low < forecast.low);
  CHECK(wide.high > forecast.high);
}

TEST_CASE("simulation: the forecast interval holds the final rate as often as it says") {
  std::mt19937 random(41);
  std::uniform_real_distribution<> chance;
  const int runs = 250;
  for (const double last_day : {6., 8.}) {
    int holds = 0;
    for (int run = 0; run < runs; ++run) {
      Inspections seen{200, {}, {}};
      for (double day = 3; day <= last_day; ++day) seen.times.push_back(day), seen.came_up.push_back(0);
      for (int seed = 0; seed < 200; ++seed) {
        if (chance(random) > .85) continue;
        const double u = chance(random), time = 5 * std::pow(u / (1 - u), 1 / 7.);
        for (std::size_t at = 0; at < seen.times.size(); ++at) seen.came_up[at] += time <= seen.times[at];
      }
      const Estimate forecast = forecast_final_rate(seen);
      holds += forecast.low <= .85 && .85 <= forecast.high;
    }
    CAPTURE(last_day);
    CAPTURE(holds);
    CHECK(holds >= .92 * runs);
    CHECK(holds <= .99 * runs);
  }
}

// 400 seeds, of which 0.9 come at normal times around day 6 (standard deviation 1); SciPy 1.10.1, norm.cdf.
TEST_CASE("times that are as even before the middle as after it: a logistic curve is nearer") {
  const Estimate end =
      forecast_final_rate({400, {3, 4, 5, 6, 7, 8, 9, 10}, {0, 8, 57, 180, 303, 352, 360, 360}});
  CHECK(end.method == "logistic curve, likelihood interval");
  CHECK(end.estimate == doctest::Approx(.9).epsilon(.002));  // log-logistic: 0.9045
  const Estimate early = forecast_final_rate({400, {3, 4, 5, 6, 7}, {0, 8, 57, 180, 303}});
  CHECK(early.low < .84);  // log-logistic alone: 0.8637
}

TEST_CASE("fits refuse nonsense") {
  CHECK_THROWS_AS(fit_emergence({20, {3, 5}, {12, 8}}), std::invalid_argument);
  CHECK_THROWS_AS(forecast_final_rate(wheat_10(), .5), std::invalid_argument);
  CHECK_THROWS_AS(forecast_final_rate(wheat_10(), 1, 2), std::invalid_argument);
  CHECK_THROWS_AS(EmergenceFit{}.share_at(-1), std::invalid_argument);
}
