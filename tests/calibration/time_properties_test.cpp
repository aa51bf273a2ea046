// SPDX-License-Identifier: Apache-2.0
// What must hold for any course of emergence, whatever its unit and its day.
#include <doctest/doctest.h>

#include "calibration/emergence_fit.h"
#include "calibration/germination_times.h"
#include "series.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("property: hours instead of days stretch every time, and no share") {
  for (const Inspections& days : {wheat_22(), wheat_10(), rice_16(), mungbean_16()}) {
    Inspections hours = days;
    for (double& time : hours.times) time *= 24;
    const GerminationTimes in_days = germination_times(days), in_hours = germination_times(hours);
    CHECK(in_hours.t50_coolbear == doctest::Approx(24 * in_days.t50_coolbear));
    CHECK(in_hours.mean_time == doctest::Approx(24 * in_days.mean_time));
    CHECK(in_hours.variance == doctest::Approx(576 * in_days.variance));
    CHECK(in_hours.synchrony == doctest::Approx(in_days.synchrony));
    CHECK(in_hours.uncertainty == doctest::Approx(in_days.uncertainty));
    const auto fit = fit_emergence(days), stretched = fit_emergence(hours);
    REQUIRE(fit);
    REQUIRE(stretched);
    CHECK(stretched->half_time == doctest::Approx(24 * fit->half_time).epsilon(1e-6));
    CHECK(stretched->steepness == doctest::Approx(fit->steepness).epsilon(1e-6));
    CHECK(stretched->final_share == doctest::Approx(fit->final_share).epsilon(1e-6));
    CHECK(stretched->log_likelihood == doctest::Approx(fit->log_likelihood).epsilon(1e-9));
  }
}
