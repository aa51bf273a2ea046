// SPDX-License-Identifier: Apache-2.0
// What a sowing's courses promise, on top of its count.
#include "calibration/in_the_end.h"

#include <doctest/doctest.h>

#include "calibration/emergence_fit.h"

using namespace braird;

namespace {

const Estimate kNow{.77, .68, .84, "Wilson"};
const Inspections kSlowing{72, {5.4, 6.4, 7.4, 9.4, 12.4}, {8, 21, 39, 50, 53}};

}  // namespace

TEST_CASE("in the end no less is up than now, and the forecast is no surer than the count") {
  const Course course{kSlowing};
  const Outlook outlook = outlook_of(kNow, {&course, 1});
  REQUIRE(outlook.in_the_end.has_value());
  CHECK_FALSE(outlook.still_rising);
  CHECK(outlook.in_the_end->estimate >= kNow.estimate);
  CHECK(outlook.in_the_end->low >= kNow.low);
  CHECK(outlook.in_the_end->high >= kNow.high);
  const double up = 53. / 72, end = forecast_final_rate(kSlowing).estimate;
  CHECK(outlook.in_the_end->estimate == doctest::Approx(.77 + .23 * (end - up) / (1 - up)));
}

TEST_CASE("what died back had come up in the end") {
  const Course done{{72, {5, 6, 30}, {30, 54, 54}}}, died{done.seen, 1, 36};
  const double end = forecast_final_rate(done.seen).estimate;
  const Estimate now{.5, .38, .62, "Wilson"};
  const Outlook outlook = outlook_of(now, {&died, 1});
  CHECK(outlook.in_the_end.value().estimate == doctest::Approx(end));
  CHECK(outlook_of(now, {&done, 1}).in_the_end.value().estimate < end);
}

TEST_CASE("courses count by their seeds, and where half of them still rise there is no forecast") {
  const Course slowing{kSlowing}, done{{72, {5, 6, 30}, {30, 54, 54}}},
      rising{{72, {4, 5, 6, 7}, {1, 4, 11, 25}}}, dead{{72, {5, 9}, {0, 0}}};
  const std::vector<Course> two = {slowing, done}, with_dead = {slowing, done, dead},
                            half = {slowing, rising}, third = {slowing, done, rising};
  const auto end = [](const std::vector<Course>& courses) {
    return outlook_of(kNow, courses).in_the_end.value().estimate;
  };
  CHECK(end(two) == doctest::Approx((end({slowing}) + end({done})) / 2));
  CHECK(end(with_dead) == doctest::Approx(end(two)));
  CHECK(end(third) == doctest::Approx(end(two)));
  CHECK(outlook_of(kNow, half).still_rising);
  CHECK_FALSE(outlook_of(kNow, half).in_the_end.has_value());
  CHECK_FALSE(outlook_of(kNow, std::vector<Course>{dead}).still_rising);
}
