// SPDX-License-Identifier: Apache-2.0
#include "calibration/emergence_curve.h"

#include <cmath>

#include "near.h"
#include "series.h"

using namespace braird;
using namespace braird::test;

namespace {

// The likelihood as the textbook writes it, without care for the tails.
double plain_log_likelihood(const Inspections& seen, double d, double b, double e) {
  auto share = [&](double time) {
    return time <= 0 ? 0 : d / (1 + std::exp(b * (std::log(time) - std::log(e))));
  };
  double sum = 0, before = 0, time_before = 0;
  for (std::size_t at = 0; at < seen.times.size(); ++at) {
    const double newly = seen.came_up[at] - before;
    if (newly > 0) sum += newly * std::log(share(seen.times[at]) - share(time_before));
    before = seen.came_up[at];
    time_before = seen.times[at];
  }
  return sum + (seen.sown - before) * std::log(1 - share(time_before));
}

CurveParameters parameters(double d, double b, double e) {
  return {std::log(d / (1 - d)), std::log(-b), std::log(e)};
}

}  // namespace

TEST_CASE("a series as intervals: where nothing came up there is no interval, but its time bounds the next") {
  const RiseData data = rise_data(wheat_22());
  REQUIRE(data.risen.size() == 4);
  CHECK(data.risen[0].from == 2);
  CHECK(data.risen[0].to == 3);
  CHECK(data.risen[1].many == 12);
  CHECK(data.risen[3].from == 6);
  CHECK(data.last == 9);
  CHECK(data.not_up == 1);
  CHECK(rise_data({10, {4}, {3}}).risen[0].from == 0);
}

TEST_CASE("identity: the likelihood is the textbook's wherever that has its digits") {
  for (const Inspections& seen : {wheat_22(), wheat_10(), rice_16(), chickweed()})
    for (const double d : {.2, .6, .95})
      for (const double b : {-3., -12.}) {
        const double e = seen.times.back() * .6;
        const double plain = plain_log_likelihood(seen, d, b, e);
        if (!std::isfinite(plain)) continue;
        CHECK(log_likelihood(rise_data(seen), parameters(d, b, e)) == doctest::Approx(plain).epsilon(1e-9));
      }
}

TEST_CASE("far out in the tails the likelihood stays finite, where the textbook's is lost") {
  const CurveParameters steep = parameters(.5, -4000, 300);
  CHECK_FALSE(std::isfinite(plain_log_likelihood(chickweed(), .5, -4000, 300)));
  CHECK(std::isfinite(log_likelihood(rise_data(chickweed()), steep)));
}

TEST_CASE("identity: at the peak no step along any parameter climbs") {
  for (const Inspections& seen : {wheat_22(), wheat_10(), rice_16(), chickweed()}) {
    const RiseData data = rise_data(seen);
    const FittedCurve curve = fitted_curve(data);
    const double peak = log_likelihood(data, curve.at);
    for (std::size_t at = 0; at < 3; ++at)
      for (const double step : {-.01, .01}) {
        CurveParameters aside = curve.at;
        aside[at] += step;
        CHECK(log_likelihood(data, aside) < peak);
      }
  }
}

TEST_CASE("identity: the variances are those of differences of the likelihood") {
  const RiseData data = rise_data(chickweed());
  const FittedCurve curve = fitted_curve(data);
  const auto variances = curve_variances(data, curve);
  REQUIRE(variances);
  Matrix<3> information{};
  const double h = 1e-3;
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j) {
      auto at = [&](double one, double other) {
        CurveParameters aside = curve.at;
        aside[i] += one;
        aside[j] += other;
        return log_likelihood(data, aside);
      };
      information[i][j] = -(at(h, h) - at(h, -h) - at(-h, h) + at(-h, -h)) / (4 * h * h);
    }
  const auto numeric = inverse_diagonal(information);
  REQUIRE(numeric);
  for (std::size_t at = 0; at < 3; ++at) CHECK_WITHIN((*variances)[at], (*numeric)[at], .01 * (*numeric)[at]);
}

TEST_CASE("a share of a logit keeps its digits at both ends") {
  CHECK(share_of(0) == doctest::Approx(.5));
  CHECK(share_of(-700) == doctest::Approx(std::exp(-700.)));
  CHECK(share_of(kAll) == doctest::Approx(1).epsilon(1e-15));
  CHECK(share_of(3) + share_of(-3) == doctest::Approx(1));
}

TEST_CASE("every seed up holds the final share; a late start is no trouble") {
  CHECK(fitted_curve(rise_data(mungbean_16())).final_share == FinalShare::held);
  CHECK(fitted_curve(rise_data(wheat_10())).final_share == FinalShare::free);
}
