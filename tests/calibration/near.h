// SPDX-License-Identifier: Apache-2.0
// Checks "to the digits printed": a value matches a printed one if it would print the same.
#pragma once

#include <doctest/doctest.h>

#include <cmath>

#include "calibration/interval.h"

namespace braird::test {

/// True if `value` rounds to the decimal `printed`, of which `digits` decimals are printed.
inline bool prints_as(double value, double printed, int digits) {
  return std::abs(value - printed) <= 0.5 * std::pow(10.0, -digits) * (1 + 1e-9) + 1e-15;
}

}  // namespace braird::test

#define CHECK_PRINTS(value, printed, digits)                          \
  do {                                                                \
    const double got_value = (value);                                 \
    CAPTURE(got_value);                                               \
    CAPTURE(printed);                                                 \
    CHECK(::braird::test::prints_as(got_value, (printed), (digits))); \
  } while (false)

// Within `most` of the number wanted. doctest::Approx allows e · (1 + the larger number), which for shares
// near 0 is no share of them.
#define CHECK_WITHIN(value, wanted, most)                \
  do {                                                   \
    const double got_value = (value);                    \
    const double wanted_value = (wanted);                \
    CAPTURE(got_value);                                  \
    CAPTURE(wanted_value);                               \
    CHECK(std::abs(got_value - wanted_value) <= (most)); \
  } while (false)

namespace braird::test {

/// Both limits to the digits printed.
inline void check_prints(Interval got, Interval printed, int digits) {
  CHECK_PRINTS(got.low, printed.low, digits);
  CHECK_PRINTS(got.high, printed.high, digits);
}

}  // namespace braird::test
