// SPDX-License-Identifier: Apache-2.0
#include "calibration/germination_times.h"

#include <cmath>
#include <stdexcept>

#include "near.h"
#include "series.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("published data (Ritz, Pipper & Streibig 2013), indices recomputed") {
  struct Row {
    Inspections seen;
    double up, mean, variance, coolbear, farooq, t10, t90, index, speed, synchrony, bits;
  };
  for (const Row& row :
       {Row{wheat_22(), 19, 4.57895, 1.36842, 3.75, 3.70833, 3.0750, 6.3667, 21.8095, 4.36190, .421053,
            1.483226},
        Row{wheat_10(), 18, 7.66667, 1.64706, 6.91667, 6.83333, 5.45, 8.55, 12.0635, 2.41270, .320261,
            1.530493},
        Row{rice_16(), 10, 8.4, 1.6, 7.75, 7.5, 6.25, 9.5, 6.0794, 1.21587, .288889, 1.521928},
        Row{mungbean_16(), 20, 3.55, .36579, 3.20833, 3.16667, 2.1429, 3.8333, 29.1667, 5.83333, .457895,
            1.188376}}) {
    const GerminationTimes got = germination_times(row.seen);
    CAPTURE(row.mean);
    CHECK(got.germinated == row.up);
    CHECK_PRINTS(got.mean_time, row.mean, 5);
    CHECK_PRINTS(got.variance, row.variance, 5);
    CHECK_PRINTS(got.t50_coolbear, row.coolbear, 5);
    CHECK_PRINTS(got.t50_farooq, row.farooq, 5);
    CHECK_PRINTS(got.t10, row.t10, 4);
    CHECK_PRINTS(got.t90, row.t90, 4);
    CHECK_PRINTS(got.rate_index, row.index, 4);
    CHECK_PRINTS(got.speed, row.speed, 5);
    CHECK_PRINTS(got.synchrony, row.synchrony, 6);
    CHECK_PRINTS(got.uncertainty, row.bits, 6);
  }
}

TEST_CASE("published: a hand example of 25 viable seeds over twelve days, T50 of Farooq 8.6875") {
  const Inspections seen{
      25, {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, {0, 0, 0, 0, 1, 3, 6, 7, 15, 16, 23, 25}};
  const GerminationTimes got = germination_times(seen);
  CHECK(got.t50_farooq == doctest::Approx(8.6875).epsilon(1e-12));
  CHECK_PRINTS(got.t50_coolbear, 8.75, 2);
  CHECK_PRINTS(got.mean_time, 9.16, 2);
  CHECK_PRINTS(got.rate_index, 11.5153, 4);
  CHECK_PRINTS(got.uncertainty, 2.547601, 6);
  CHECK(got.mean_rate == doctest::Approx(1 / 9.16));
  CHECK(got.velocity == doctest::Approx(100 / 9.16));
}

TEST_CASE("recomputed: chickweed's indices in hours") {
  const GerminationTimes got = germination_times(chickweed());
  CHECK_PRINTS(got.mean_time, 200.275, 3);
  CHECK_PRINTS(got.t50_coolbear, 196.500, 3);
  CHECK_PRINTS(got.t50_farooq, 196.136, 3);
}

TEST_CASE("the trap: a short mean time though half never came") {
  CHECK(germination_times(rice_16()).mean_time < 9);
  CHECK(germination_times(rice_16()).germinated / 20 == .5);
}

TEST_CASE("all at one inspection, and a single seed") {
  const GerminationTimes at_once = germination_times({10, {3, 5}, {0, 8}});
  CHECK(at_once.synchrony == doctest::Approx(1));
  CHECK(at_once.uncertainty == 0);
  CHECK(std::isinf(at_once.uniformity));
  CHECK(germination_times({10, {3}, {1}}).variance == 0);
}

TEST_CASE("counts that fall are averaged with their neighbours") {
  const std::vector<double> counts = {1, 5, 4, 9, 7, 7, 12};
  const std::vector<double> risen = never_falling(counts);
  const std::vector<double> by_hand = {1, 4.5, 4.5, 23 / 3., 23 / 3., 23 / 3., 12};
  for (std::size_t at = 0; at < counts.size(); ++at) CHECK(risen[at] == doctest::Approx(by_hand[at]));
  CHECK(never_falling({}).empty());
}

TEST_CASE("times refuse nonsense, each with its sentence") {
  CHECK_THROWS_WITH_AS(germination_times({20, {3, 3}, {1, 2}}),
                       "time of an inspection is 3, but must be after the one before it, and after sowing",
                       std::invalid_argument);
  CHECK_THROWS_WITH_AS(germination_times({20, {3, 4}, {5, 2}}),
                       "number come up is 2, but must be at least that of the inspection before it",
                       std::invalid_argument);
  CHECK_THROWS_WITH_AS(germination_times({20, {3}, {21}}),
                       "number come up is 21, but must be at most the seeds sown", std::invalid_argument);
  CHECK_THROWS_AS(germination_times({20, {3}, {0}}), std::invalid_argument);
  CHECK_THROWS_AS(germination_times({0, {3}, {0}}), std::invalid_argument);
  CHECK_THROWS_AS(germination_times({20, {}, {}}), std::invalid_argument);
  CHECK_THROWS_AS(germination_times({20, {1, 2}, {1}}), std::invalid_argument);
  CHECK_THROWS_AS(from_new_counts(20, {1, 2}, std::vector<double>{1, -1}), std::invalid_argument);
  CHECK_THROWS_AS(time_of(rice_16(), 11), std::invalid_argument);
}
