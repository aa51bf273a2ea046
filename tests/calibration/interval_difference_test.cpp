// SPDX-License-Identifier: Apache-2.0
// Between which differences does the truth lie, when two shares were seen?
#include <doctest/doctest.h>

#include <stdexcept>

#include "calibration/interval.h"
#include "near.h"

using namespace braird;
using braird::test::check_prints;

TEST_CASE("published: Newcombe 1998, Stat Med 17:873-890, Table II, methods 10 and 11") {
  struct Row {
    Share first, second;
    Interval method_10, method_11;
  };
  for (const Row& row :
       {Row{{56, 70}, {48, 80}, {.0524, .3339}, {.0428, .3422}},
        Row{{9, 10}, {3, 10}, {.1705, .8090}, {.1013, .8387}},
        Row{{6, 7}, {2, 7}, {.0582, .8062}, {-.0290, .8423}},
        Row{{5, 56}, {0, 29}, {-.0381, .1926}, {-.0667, .2037}},
        Row{{0, 10}, {0, 20}, {-.1611, .2775}, {-.2005, .3445}},
        Row{{0, 10}, {0, 10}, {-.2775, .2775}, {-.3445, .3445}},
        Row{{10, 10}, {0, 20}, {.6791, 1}, {.6014, 1}}, Row{{10, 10}, {0, 10}, {.6075, 1}, {.5128, 1}},
        Row{{84, 101}, {89, 105}, {-.1177, .0851}, {-.1245, .0918}}}) {
    CAPTURE(row.first.count);
    check_prints(newcombe_difference(row.first, row.second), row.method_10, 4);
    check_prints(newcombe_difference_cc(row.first, row.second), row.method_11, 4);
  }
}

TEST_CASE("identity: the difference of two estimates is method 10 when both are Wilson's") {
  const Interval a = wilson(56, 70), b = wilson(48, 80);
  const Estimate gap = difference({.8, a.low, a.high, ""}, {.6, b.low, b.high, ""});
  CHECK(gap.estimate == doctest::Approx(.2));
  check_prints({gap.low, gap.high}, {.0524, .3339}, 4);
  CHECK_THROWS_AS(difference({.8, .9, 1, ""}, {.6, .5, .7, ""}), std::invalid_argument);
}
