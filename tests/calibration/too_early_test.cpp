// SPDX-License-Identifier: Apache-2.0
#include "calibration/too_early.h"

#include <doctest/doctest.h>

#include <stdexcept>

using namespace braird;

TEST_CASE(
    "published days to emergence, a week after sowing (Harrington & Minges 1954, via Knott's Handbook "
    "1997)") {
  // Onion: 13 days at 10 °C, 7 at 15 °C, 5 at 20 °C. Celery: 12 days at 15 °C. Lettuce: 3 days at 20 °C.
  CHECK(too_early_to_judge({"onion", 10, 13, 7}).too_early);
  CHECK(too_early_to_judge({"onion", 15, 7, 7}).too_early);
  CHECK_FALSE(too_early_to_judge({"onion", 20, 5, 7}).too_early);
  CHECK(too_early_to_judge({"celery", 15, 12, 7}).too_early);
  CHECK_FALSE(too_early_to_judge({"lettuce", 20, 3, 7}).too_early);
}

TEST_CASE("the sentence says when to look again") {
  CHECK(too_early_to_judge({"onion", 15, 7, 7}).sentence ==
        "Too early to judge: at 15 °C onion takes about 7 days to come up, and on day 7 about 50 % of what "
        "will come "
        "are up; look again on day 11.");
  CHECK(too_early_to_judge({"lettuce", 20, 3, 7}).sentence ==
        "At 20 °C lettuce takes about 3 days to come up; on day 7 nearly all that will come are up.");
}

TEST_CASE("identity: half are up on the day of the table, 95 % on the day to judge") {
  const Patience now = too_early_to_judge({"leek", 20, 6, 6});
  CHECK(now.up_by_now == doctest::Approx(.5));
  CHECK(too_early_to_judge({"leek", 20, 6, now.judge_on}).up_by_now == doctest::Approx(.95));
  CHECK(too_early_to_judge({"leek", 20, 6, 0}).up_by_now == 0);
}

TEST_CASE("patience refuses nonsense") {
  CHECK_THROWS_WITH_AS(too_early_to_judge({"leek", 20, 0, 7}), "days to emergence is 0, but must be > 0",
                       std::invalid_argument);
  CHECK_THROWS_AS(too_early_to_judge({"leek", 20, 5, -1}), std::invalid_argument);
}
