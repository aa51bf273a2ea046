// SPDX-License-Identifier: Apache-2.0
#include "calibration/bed_plan.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <stdexcept>

#include "tests/calibration/near.h"
#include "tests/calibration/seasons.h"

using namespace braird;

namespace {

std::vector<LotChance> surely(double germination) {
  return {{1, germination, 0, 0}};
}

}  // namespace

TEST_CASE("facts of the trade (common practice, no source)") {
  const BedPlan bed{1, 3, 10, 5, 1};
  CHECK(cells_of(bed) == 600);       // three rows along 10 m at 5 cm
  CHECK(cells_of(bed) * 4 == 2400);  // four seeds a cell
  const SowingPlan plan = plan_sowing(surely(1 - 1e-9), {4, 1, 256, {}}, 600, .95);
  CHECK_PRINTS(plan.bed_trays, 2.34, 2);  // 256 cells a tray
  CHECK(plan.seeds == 2400);
  CHECK(plan.trays == 3);
  CHECK(true_spacing_cm({1, 1, 10, 15, 2}) == 30);  // every second hole left out
  CHECK(cells_of({1, 3, 10, 5, 2}) == 300);
}

TEST_CASE("a known lot needs what the binomial says") {
  // the fewest cells whose chance of 100 full ones reaches 95 %, by summing the binomial here
  auto chance = [](int cells) {
    double sum = 0;
    for (int k = 100; k <= cells; ++k)
      sum += std::exp(std::lgamma(cells + 1) - std::lgamma(k + 1) - std::lgamma(cells - k + 1) +
                      k * std::log(.8) + (cells - k) * std::log(.2));
    return sum;
  };
  int cells = 100;
  while (chance(cells) < .95) ++cells;
  const SowingPlan plan = plan_sowing(surely(.8), {1, 1, 128, {}}, 100, .95);
  CHECK(plan.cells == cells);
  CHECK(plan.chance == doctest::Approx(chance(cells)));
  CHECK(plan.trays == 2);
  CHECK(plan.chance_of_trays > .999);
}

TEST_CASE("trays that differ, and doubt about the lot, take more cells") {
  const std::vector<LotChance> differing = {{1, .8, .4, 0}}, doubtful = {{.5, .7, 0, 0}, {.5, .9, 0, 0}};
  const SowingTerms terms{1, 1, 128, {}};
  const int sure = plan_sowing(surely(.8), terms, 300, .95).cells;
  CHECK(plan_sowing(differing, terms, 300, .95).cells > sure);
  CHECK(plan_sowing(doubtful, terms, 300, .95).cells > sure);
  CHECK(plan_sowing(surely(.8), terms, 300, .99).cells > sure);
  CHECK(plan_sowing(surely(.8), {1, 1, 128, {.1, 0, 0}}, 300, .95).cells > sure);
}

TEST_CASE("simulated: the moments' chance is that of drawn trays") {
  test::Random random(5);
  const test::TrueLot lot{.8, .1, .3, {}};
  const std::vector<LotChance> chances = {{1, lot.germination, lot.spread, lot.rho}};
  const SowingTerms terms{2, 1, 104, {}};
  for (const int need : {285, 292, 298}) {
    int met = 0;
    for (int season = 0; season < 4000; ++season) {
      int full = 0;
      for (int tray = 0; tray < 3; ++tray)
        full += test::cells_with_at_least(1, test::drawn_tray(lot, 104, 2, random));
      met += full >= need;
    }
    CHECK_WITHIN(chance_of_enough(chances, terms, 312, need), met / 4000., 3 * std::sqrt(.25 / 4000));
  }
}

TEST_CASE("packs: the cheapest that hold enough, against all choices") {
  const std::vector<Pack> packs = {{250, 2.5}, {1000, 7}, {5000, 30}};
  for (const double seeds : {100., 250., 900., 1700., 2400., 5200., 9999.}) {
    double best = 1e9;
    for (int a = 0; a <= 40; ++a)
      for (int b = 0; b <= 10; ++b)
        for (int c = 0; c <= 2; ++c)
          if (a * 250 + b * 1000 + c * 5000 >= seeds) best = std::min(best, a * 2.5 + b * 7 + c * 30);
    const SeedOrder order = order_of(seeds, packs);
    CHECK(order.seeds >= seeds);
    CHECK(order.price == doctest::Approx(best));
  }
  const SeedOrder unpriced = order_of(1200, std::vector<Pack>{{250, 0}, {1000, 0}});
  CHECK(unpriced.packs == std::vector<int>{1, 1});
  CHECK(order_of(1200, std::vector<Pack>{{250, 3}, {1000, 0}}).price == 0);  // a part is no total
  CHECK(order_of(100, {}).packs.empty());
}

TEST_CASE("nonsense is refused with one sentence each") {
  CHECK_THROWS_WITH_AS(cells_of({1, 3, -10, 5, 1}), "length of the bed in m is -10, but must be > 0",
                       std::invalid_argument);
  CHECK_THROWS_WITH_AS(cells_of({1, 3, 10, 0, 1}), "spacing in cm is 0, but must be > 0",
                       std::invalid_argument);
  CHECK_THROWS_WITH_AS(plan_sowing(surely(.8), {1, 1, 128, {}}, 0, .95),
                       "full cells needed is 0, but must be ≥ 1", std::invalid_argument);
  CHECK_THROWS_WITH_AS(plan_sowing(surely(.8), {1, 1, 0, {}}, 10, .95),
                       "cells per tray is 0, but must be ≥ 1", std::invalid_argument);
  CHECK_THROWS_WITH_AS(plan_sowing(surely(.8), {1, 1, 128, {}}, 10, 1),
                       "assurance is 1, but must be between 0 and 1", std::invalid_argument);
  CHECK_THROWS_AS(plan_sowing(surely(1e-5), {1, 1, 128, {}}, 10, .95), std::runtime_error);
  CHECK_THROWS_AS(order_of(100, std::vector<Pack>{{0, 1}}), std::invalid_argument);
}
