// SPDX-License-Identifier: Apache-2.0
#include "calibration/spread.h"

#include <cmath>

#include "near.h"

using namespace braird;

TEST_CASE("identity: a spread with the moments of a known distribution has its tail") {
  const double n = 10, p = .3;
  CHECK(chance_of_at_least(1, {n * p, n * p * (1 - p)}) == doctest::Approx(1 - std::pow(.7, 10)));
  CHECK(chance_of_at_least(10, {n * p, n * p * (1 - p)}) == doctest::Approx(std::pow(.3, 10)));
  CHECK(chance_of_at_least(1, {2, 2}) == doctest::Approx(1 - std::exp(-2)));
  CHECK(chance_of_at_least(2, {2, 2}) == doctest::Approx(1 - 3 * std::exp(-2)));
  // Geometric: failures before the first success of chance 1/4 have mean 3 and variance 12.
  CHECK(chance_of_at_least(2, {3, 12}) == doctest::Approx(.75 * .75));
}

TEST_CASE("the edges of a spread") {
  CHECK(chance_of_at_least(0, {3, 2}) == 1);
  CHECK(chance_of_at_least(1, {0, 0}) == 0);
  CHECK(chance_of_at_least(3, {3, 0}) == 1);
  CHECK(chance_of_at_least(4, {3, 0}) == 0);
  CHECK(chance_of_at_least(12, {3, 2.1}) == 0);
}

TEST_CASE("quantiles of a spread enclose their share") {
  const Spread poisson{4, 4};
  const double low = quantile_of(.025, poisson, 100), high = quantile_of(.975, poisson, 100);
  CHECK(low == 1);
  CHECK(high == 8);
  CHECK(quantile_of(.975, poisson, 5) == 5);
}
