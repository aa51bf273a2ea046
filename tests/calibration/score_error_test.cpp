// SPDX-License-Identifier: Apache-2.0
// The score interval of a count that may itself be wrong.
#include <doctest/doctest.h>

#include <cmath>

#include "calibration/interval.h"

using namespace braird;

TEST_CASE("identity: in the middle, room for an error of the count is Wilson's equation with one term more") {
  for (const double error : {.01, .05, .1})
    for (const double count : {45., 50., 55.}) {
      const Interval limits = wilson_with_error(count, 100, 1.96, error);
      CAPTURE(error);
      CAPTURE(count);
      const double z = normal_quantile_two_sided(.95);
      for (const double p : {limits.low, limits.high})
        CHECK(std::abs(count / 100 - p) ==
              doctest::Approx(std::hypot(1.96 * std::sqrt(p * (1 - p) / 100), z * error)).epsilon(1e-9));
    }
  CHECK(wilson_with_error(7, 50, 1.9, 0).low == wilson_for_z(7, 50, 1.9).low);
}

TEST_CASE("identity: errors that can't go past the end leave the whole level to the other side") {
  // 1.6449 is the normal distribution's one-sided 95 % point (any table of it).
  const Interval limits = wilson_with_error(300, 1000, 1.96, .4);
  CHECK(limits.high == doctest::Approx(.3 + 1.6449 * std::hypot(.4, .0047)).epsilon(.001));
  CHECK(wilson_with_error(1000, 1000, 1.96, .1).high == 1);
  CHECK(wilson_with_error(0, 1000, 1.96, .1).low == 0);
  for (const double count : {0., 3., 40., 77., 100.})
    for (const double error : {.001, .02, .1, .3, 2.}) {
      const Interval up = wilson_with_error(count, 100, 1.96, error),
                     mirrored = wilson_with_error(100 - count, 100, 1.96, error),
                     sure = wilson_for_z(count, 100, 1.96);
      CHECK(up.low == doctest::Approx(1 - mirrored.high));
      CHECK(up.low <= count / 100);
      CHECK(up.high >= count / 100);
      CHECK(up.high - up.low >= .8 * (sure.high - sure.low));
    }
  const Interval hopeless = wilson_with_error(50, 100, 1.96, 2);
  CHECK(hopeless.low == 0);
  CHECK(hopeless.high == 1);
}
