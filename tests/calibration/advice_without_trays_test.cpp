// SPDX-License-Identifier: Apache-2.0
// Advice from dishes and daily counts, of which no tray is known.
#include <doctest/doctest.h>

#include <algorithm>

#include "calibration/grower_advice.h"

using namespace braird;

TEST_CASE("daily counts that have just begun leave the end open in advice too") {
  AdviceRequest request;
  request.lot = Lot{};
  request.lot->course = Inspections{100, {4, 5}, {3, 13}};
  const AdviceReport early = advise_on(request);
  CHECK(early.in_the_end.low < .4);
  CHECK(early.in_the_end.high > .9);
  REQUIRE_FALSE(early.remarks.empty());
  CHECK(early.remarks[0].starts_with("The daily counts leave open how many come in the end"));
  request.lot->course = Inspections{100, {4, 5, 6, 7, 8, 10, 14}, {10, 40, 65, 80, 86, 88, 88}};
  const AdviceReport done = advise_on(request);
  CHECK(done.in_the_end.low > .75);
  CHECK(done.in_the_end.high < .95);
  CHECK(done.remarks.empty());
}

TEST_CASE("dishes that differ by more than the rules tolerate are remarked on") {
  AdviceRequest request;
  request.lot = Lot{};
  request.lot->replicates = {{95, 100}, {90, 100}, {80, 100}, {96, 100}};
  const AdviceReport report = advise_on(request);
  CHECK(std::ranges::any_of(report.remarks, [](const std::string& remark) {
    return remark.find("differ by 16 points") != std::string::npos;
  }));
}

TEST_CASE("dishes and daily counts have no cells: advice for the next batch, none for the tray") {
  AdviceRequest request;
  request.lot = Lot{};
  request.lot->name = "Harebell 3";
  request.lot->replicates = {{92, 100}, {88, 100}};
  const AdviceReport report = advise_on(request);
  CHECK_FALSE(report.stand);
  CHECK(report.in_the_end.estimate == doctest::Approx(.9).epsilon(.03));
  Lot daily;
  daily.name = "Harebell 3";
  daily.course = Inspections{20, {2, 3, 4, 5, 7}, {0, 1, 13, 16, 19}};
  request.lot = daily;
  CHECK(advise_on(request).in_the_end.estimate > .8);
}
