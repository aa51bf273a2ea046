// SPDX-License-Identifier: Apache-2.0
#include "calibration/belief.h"

#include <doctest/doctest.h>

#include <numeric>
#include <stdexcept>

#include "calibration/cell_outlook.h"
#include "calibration/overdispersion.h"
#include "tests/calibration/near.h"
#include "tests/calibration/seasons.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("identity: a cell's chances are the beta-binomial's, and thinning keeps the mean's share") {
  const auto ours = seedling_chances(drop_of(6, {}), .8, .1);
  const auto known = beta_binomial_chances(6, .8, .1);
  REQUIRE(ours.size() == known.size());
  for (std::size_t k = 0; k < known.size(); ++k) CHECK(ours[k] == doctest::Approx(known[k]));
  CHECK(mean_of(thinning(6, .3)[6]) == doctest::Approx(.3 * 6));
  CHECK(chance_of_low(ours, 1) == doctest::Approx(1 - known[0]));
}

TEST_CASE("by hand: two seeds at 50 %, half of what comes is up") {
  // final 0, 1, 2: ¼, ½, ¼; seen 0 of them: ¼ + ½ · ½ + ¼ · ¼ = 9/16; so final given none seen: 4/9, 4/9, 1/9
  const auto later = chances_given(seedling_chances(drop_of(2, {}), .5, 0), 0, {.5, 1});
  CHECK(later[0] == doctest::Approx(4 / 9.));
  CHECK(later[1] == doctest::Approx(4 / 9.));
  CHECK(later[2] == doctest::Approx(1 / 9.));
  CHECK(chances_given(seedling_chances(drop_of(2, {}), .5, 0), 3, {.5, 1})[3] == 1);
}

TEST_CASE("a sower's drop: missed cells, skips and doubles") {
  const SeedDrop drop = drop_of(2, {.1, .2, .3});
  CHECK(drop.chance[0] == doctest::Approx(.1 + .9 * .04));
  CHECK(drop.chance[4] == doctest::Approx(.9 * .09));
  CHECK(mean_seeds(drop) == doctest::Approx(.9 * 2 * 1.1));
  CHECK_THROWS_AS(drop_of(2, {0, .6, .6}), std::invalid_argument);
  CHECK_THROWS_AS(drop_of(0, {}), std::invalid_argument);
}

TEST_CASE("many counts speak for themselves; no counts leave the prior") {
  LotEvidence much;
  for (int tray = 0; tray < 6; ++tray) much.trays.push_back({1, {40, 360}});
  const Estimate sure = believe(much).germination;
  CHECK(sure.estimate == doctest::Approx(.9).epsilon(.01));
  CHECK(sure.low > .86);
  CHECK(sure.high < .94);
  const Estimate prior = believe({}).germination;
  CHECK(prior.estimate == doctest::Approx(.95 * .75 + .05 * .5).epsilon(.002));
  CHECK(prior.low < .3);
}

TEST_CASE("one tray leaves more doubt than its seeds alone would: trays differ") {
  const Belief belief = believe({{{1, {26, 238}}}, {}, {}, {}, {}});
  const Interval seeds = wilson(238, 264);
  CHECK(belief.germination.high - belief.germination.low > seeds.high - seeds.low);
  double weights = 0;
  for (const LotChance& chance : belief.lot) weights += chance.weight;
  CHECK(weights == doctest::Approx(1));
}

TEST_CASE("cells that are full or empty are a shared fate; independent ones are not") {
  auto mean_rho = [](const SeenTray& tray) {
    double rho = 0;
    for (const LotChance& chance : believe({{tray}, {}, {}, {}, {}}).lot) rho += chance.weight * chance.rho;
    return rho;
  };
  CHECK(mean_rho({4, {60, 10, 20, 40, 134}}) > .25);
  CHECK(mean_rho({4, {0, 7, 45, 110, 102}}) < .04);
}

TEST_CASE("an earlier sowing's totals say next to nothing of whether seeds of a cell share a fate") {
  auto mean_rho = [](const LotEvidence& evidence) {
    double rho = 0;
    for (const LotChance& chance : believe(evidence).lot) rho += chance.weight * chance.rho;
    return rho;
  };
  Random random(5);
  const TrueLot lot{.8, 0, 0, {}};
  LotEvidence evidence{{as_seen(drawn_tray(lot, 264, 4, random), 4)}, {}, {}, {}, {}};
  const double alone = mean_rho(evidence);
  REQUIRE(alone < .03);
  evidence.earlier = {{840, 1056, 4}};
  CHECK(std::abs(mean_rho(evidence) - alone) < .01);
  CHECK(mean_rho({{}, {}, {}, {{840, 1056, 4}}, {}}) < .08);  // the prior's own is 0.06
}

TEST_CASE("what is not up yet may come: half are up, so more is believed of the seed than is seen") {
  LotEvidence early{{{1, {60, 68}}}, 6, timings_around(6, .15), {}, {}};
  const Belief belief = believe(early);
  CHECK(belief.germination.estimate > .7);
  early.day.reset();
  CHECK_THROWS_WITH_AS(believe(early),
                       "days since sowing is unknown, but must be known where seedlings may still come",
                       std::invalid_argument);
}

TEST_CASE("earlier sowings and the pack's word pull the lot") {
  const LotEvidence alone{{{1, {30, 70}}}, {}, {}, {}, {}};
  LotEvidence with_past = alone;
  with_past.earlier = {{950, 1000, 1}};
  CHECK(believe(with_past).germination.estimate > believe(alone).germination.estimate);
  with_past.earlier = {{1, 0, 1}};
  CHECK_THROWS_AS(believe(with_past), std::invalid_argument);
}

TEST_CASE("a sowing that does worse than the lot did before is not therefore late") {
  LotEvidence late{{{1, {58, 158}}}, 16, timings_of(*find_crop(built_in_profiles(), "kale"), {}), {}, {}};
  const double alone = share_up(courses_of(believe(late)), *late.day);
  REQUIRE(alone > .97);
  late.earlier = {{205, 216, 1}};
  CHECK(share_up(courses_of(believe(late)), *late.day) == doctest::Approx(alone).epsilon(.002));
  LotEvidence early{{{1, {151, 65}}}, 5, late.timings, {}, {}};
  const Estimate unknown = believe(early).germination;
  early.earlier = late.earlier;
  CHECK(believe(early).germination.estimate > unknown.estimate);
}

TEST_CASE("a pack that the trays contradict fades; one that agrees with them sharpens") {
  LotEvidence poor{{{1, {67, 5}}}, {}, {}, {}, {}}, good{{{1, {9, 63}}}, {}, {}, {}, {}};
  const Estimate poor_alone = believe(poor).germination, good_alone = believe(good).germination;
  poor.earlier = good.earlier = {{36, 40, 1}};
  CHECK(believe(poor).germination.high < poor_alone.high + .03);
  const Estimate backed = believe(good).germination;
  CHECK(backed.high - backed.low < .9 * (good_alone.high - good_alone.low));
}

TEST_CASE("cells that hold more than was sown tell of doubles") {
  Random random(3);
  const TrueLot lot{.9, 0, 0, {0, 0, .12}};
  const LotEvidence evidence{{as_seen(drawn_tray(lot, 400, 2, random), 2)}, {}, {}, {}, {}};
  CHECK(fitted_sower(evidence).doubles > .05);
  CHECK(fitted_sower(evidence).doubles < .25);
  CHECK(fitted_sower({{{2, {1, 5, 20}}}, {}, {}, {}, {}}).doubles == 0);
}

TEST_CASE(
    "courses: days of the table, and counts that sharpen them (Harrington & Minges 1954: onion 7 days at 15 "
    "°C)") {
  const CropProfile& onion = *find_crop(built_in_profiles(), "onion");
  const auto timings = timings_of(onion, 15);
  CHECK(day_when_up(timings, .5) == doctest::Approx(7).epsilon(.02));
  double sum = 0;
  for (const Timing& timing : timings) sum += timing.weight;
  CHECK(sum == doctest::Approx(1));
  CHECK(timings_of(onion, 60).empty());
  CHECK(day_when_up(timings_of(onion, {}), .5) == doctest::Approx(std::sqrt(7 * 4)).epsilon(.05));
  // Wheat at 22 °C, half of it up on day 3.8: Ritz, Pipper & Streibig 2013, Eur J Agron 45:1-6
  const Inspections wheat{20, {2, 3, 4, 5, 7}, {0, 1, 13, 16, 19}};
  const double half = day_when_up(weighed_by({}, wheat, 1), .5);
  CHECK(half > 3.3);
  CHECK(half < 4.2);
}
