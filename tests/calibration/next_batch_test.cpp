// SPDX-License-Identifier: Apache-2.0
#include "calibration/next_batch.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

#include "tests/calibration/near.h"

using namespace braird;

namespace {

/// A lot of which everything is known.
std::vector<LotChance> known(double germination, double rho = 0) {
  return {{1, germination, 0, rho}};
}

BatchTerms plain(Wanted wanted = {1, 1}) {
  return {wanted, {}, 128, built_in_economy()};
}

int fewest_for(double germination, double gap_limit) {
  BatchTerms terms = plain();
  terms.economy.gap_limit = gap_limit;
  return advise_batch(known(germination), {germination, germination, germination, ""}, terms,
                      ChosenBy::gap_limit)
      .chosen;
}

}  // namespace

TEST_CASE(
    "handbook table: empty cells (1 - p)^k, fewest seeds for 5 % and 1 % empty, singles and doubles of two") {
  // Recomputed with a general-purpose statistics package; the rule behind it is that of USDA Forest Service
  // nursery manuals (from memory).
  struct Row {
    double p;
    double empty[5];  // percent, k = 1 … 5; negative: not printed
    int digits[5];
    int for_five, for_one;
    double single, twin;  // percent of cells with two seeds
  };
  for (const Row& row : {Row{.50, {50, 25, 12.5, 6.25, 3.13}, {0, 0, 1, 2, 2}, 5, 7, 50, 25},
                         Row{.60, {40, 16, 6.4, 2.56, 1.02}, {0, 0, 1, 2, 2}, 4, 6, 48, 36},
                         Row{.65, {35, 12.25, 4.29, 1.50, .53}, {0, 2, 2, 2, 2}, 3, 5, 45.5, 42.25},
                         Row{.70, {30, 9, 2.7, .81, .24}, {0, 0, 1, 2, 2}, 3, 4, 42, 49},
                         Row{.75, {25, 6.25, 1.56, .39, .10}, {0, 2, 2, 2, 2}, 3, 4, 37.5, 56.25},
                         Row{.80, {20, 4, .8, .16, .03}, {0, 0, 1, 2, 2}, 2, 3, 32, 64},
                         Row{.85, {15, 2.25, .34, .05, .01}, {0, 2, 2, 2, 2}, 2, 3, 25.5, 72.25},
                         Row{.90, {10, 1, .1, .01, .001}, {0, 0, 1, 2, 3}, 2, 2, 18, 81},
                         Row{.95, {5, .25, .013, -1, -1}, {0, 2, 3, 0, 0}, 1, 2, 9.5, 90.25},
                         Row{.98, {2, .04, -1, -1, -1}, {0, 2, 0, 0, 0}, 1, 2, 3.92, 96.04}}) {
    CAPTURE(row.p);
    for (int k = 1; k <= 5; ++k)
      if (row.empty[k - 1] >= 0)
        CHECK_PRINTS(100 * batch_row(known(row.p), k, plain()).empty, row.empty[k - 1], row.digits[k - 1]);
    CHECK(fewest_for(row.p, .05 + 1e-9) == row.for_five);
    CHECK(fewest_for(row.p, .01 + 1e-9) == row.for_one);
    CHECK_PRINTS(100 * batch_row(known(row.p), 2, plain()).within, row.single, 2);
    CHECK_PRINTS(100 * batch_row(known(row.p), 2, plain()).above, row.twin, 2);
  }
}

TEST_CASE(
    "published: containers filled at a germination (USDA Forest Service nursery manuals, from memory)") {
  struct Row {
    double low, high;
    int seeds;
    double filled_low, filled_high;  // percent, whole
  };
  for (const Row& row : {Row{.80, .89, 2, 96, 99}, Row{.70, .79, 2, 91, 96}, Row{.60, .69, 3, 94, 97},
                         Row{.50, .59, 4, 94, 97}, Row{.40, .49, 5, 92, 97}}) {
    CHECK_PRINTS(100 * (1 - batch_row(known(row.low), row.seeds, plain()).empty), row.filled_low, 0);
    CHECK_PRINTS(100 * (1 - batch_row(known(row.high), row.seeds, plain()).empty), row.filled_high, 0);
  }
}

TEST_CASE(
    "textbook item: four seeds a hill at 75 % give one plant or more .9961, two or more .9492, all four "
    ".3164") {
  CHECK_PRINTS(1 - batch_row(known(.75), 4, plain()).below, .9961, 4);
  CHECK_PRINTS(1 - batch_row(known(.75), 4, plain({2, 4})).below, .9492, 4);
  CHECK_PRINTS(batch_row(known(.75), 4, plain({4, 4})).within, .3164, 4);
  CHECK(batch_row(known(2 / 3.), 2, plain({2, 2})).within == doctest::Approx(4 / 9.));
}

TEST_CASE("property: no better lot gets more seeds a cell than a worse one") {
  for (const Wanted& wanted : {Wanted{1, 1}, Wanted{2, 3}, Wanted{5, 8}})
    for (const double rho : {0., .1, .18, .3, .5}) {
      CAPTURE(wanted.low);
      CAPTURE(rho);
      int before = kMostSeedsPerCell;
      for (int percent = 2; percent < 100; ++percent) {
        CAPTURE(percent);
        const double germination = percent / 100.;
        const int chosen = advise_batch(known(germination, rho), {germination, germination, germination, ""},
                                        plain(wanted), ChosenBy::gap_limit)
                               .chosen;
        CHECK(chosen <= before);
        before = chosen;
      }
    }
}

TEST_CASE("shared fate leaves more cells empty: p .8, rho .08, two seeds: 5.28 %, not 4") {
  // (1 − p)² + ρ p (1 − p), recomputed
  CHECK_PRINTS(100 * batch_row(known(.8, .08), 2, plain()).empty, 5.28, 2);
}

TEST_CASE("identities: shares sum to one, plants are seeds times germination, faults of the sower count") {
  BatchTerms terms = plain({2, 3});
  terms.sower = {.02, .05, .1};
  for (int seeds = 1; seeds <= kMostSeedsPerCell; ++seeds) {
    const BatchRow row = batch_row(known(.83, .1), seeds, terms);
    CHECK(row.below + row.within + row.above == doctest::Approx(1));
    CHECK(row.seeds == doctest::Approx(.98 * seeds * 1.05));
    CHECK(row.plants == doctest::Approx(row.seeds * .83));
    CHECK(row.empty > .02);
  }
  CHECK(std::isinf(batch_row(known(.8), 1, plain({2, 2})).cost));
}

TEST_CASE("a cost by hand: one sure seed a cell") {
  BatchTerms terms = plain();
  terms.economy = {};
  terms.economy.seed_price = .05;
  terms.economy.tray_price = 12.8;
  terms.economy.hour_price = 30;
  terms.economy.minutes_to_sow_tray = 12.8;
  CHECK(batch_row(known(.8), 1, terms).cost == doctest::Approx((.05 + .1 + .05) / .8));
}

TEST_CASE("simulation: drawn cells cost what the table says, and none is cheaper by more than 1 %") {
  std::mt19937_64 random(7);
  const std::vector<LotChance> lot = {{.5, .7, .2, .05}, {.3, .85, 0, .1}, {.2, .6, .1, 0}};
  BatchTerms terms = plain({2, 4});
  terms.sower = {.01, .03, .04};
  terms.economy.seed_price = .03;
  const BatchAdvice advice = advise_batch(lot, {.7, .55, .87, ""}, terms, ChosenBy::cost);
  std::vector<double> costs;
  for (int seeds = 1; seeds <= 8; ++seeds) {
    double usable = 0, spent = 0;
    std::discrete_distribution<std::size_t> which({.5, .3, .2});
    for (int cell = 0; cell < 200000; ++cell) {
      const LotChance& at = lot[which(random)];
      const double share =
          1 / (1 + std::exp(-logit(at.mean) - at.spread * std::normal_distribution<>()(random)));
      double fate = share;
      if (at.rho > 0) {
        const double size = 1 / at.rho - 1;
        const double a = std::gamma_distribution<>(share * size)(random),
                     b = std::gamma_distribution<>((1 - share) * size)(random);
        fate = a / (a + b);
      }
      int dropped = 0, up = 0;
      if (std::bernoulli_distribution(.99)(random))
        for (int seed = 0; seed < seeds; ++seed)
          dropped += std::discrete_distribution<int>({.03, .93, .04})(random);
      up = std::binomial_distribution<>(dropped, fate)(random);
      usable += up >= 2;
      spent +=
          dropped * .03 +
          std::max(0, up - 4) * terms.economy.minutes_to_thin_plant * terms.economy.hour_price / 60 +
          (terms.economy.tray_price + terms.economy.minutes_to_sow_tray * terms.economy.hour_price / 60) /
              128;
    }
    costs.push_back(spent / usable);
    CHECK_WITHIN(advice.rows[static_cast<std::size_t>(seeds - 1)].cost, costs.back(), .01 * costs.back());
  }
  const double best = *std::min_element(costs.begin(), costs.end());
  CHECK(costs[static_cast<std::size_t>(advice.chosen - 1)] <= 1.01 * best);
  CHECK(advice.second != advice.chosen);
  CHECK(advice.second_costs_more >= 0);
  CHECK(advice.chosen_if_poor >= advice.chosen_if_good);
}

TEST_CASE("plants wanted, where nothing is told: common practice, no source") {
  CHECK(usually_wanted(1).high == 1);
  CHECK(usually_wanted(5).low == 3);  // onion: sow 5, plan for 4
  CHECK(usually_wanted(5).high == 6);
}

TEST_CASE("the poorer the seed, the more of it a cell, up to a dozen or four for each plant wanted") {
  int last = most_worth_sowing({});
  for (const double germination : {.002, .02, .04, .06, .1, .2, .4, .6, .8, .95}) {
    const int chosen = fewest_for(germination, .05);
    CHECK(chosen <= last);
    last = chosen;
  }
  CHECK(last < most_worth_sowing({}));
  CHECK(fewest_for(.2, .05) == 12);  // .8^14 = .044 would keep the limit
  CHECK(most_worth_sowing({4, 6}) == 16);
  const BatchAdvice poor = advise_batch(known(.2), {.2, .1, .3, ""}, plain(), ChosenBy::gap_limit);
  CHECK(poor.too_poor);
  CHECK(poor.rows.size() == 12);
  const BatchAdvice many = advise_batch(known(.85), {.85, .8, .9, ""}, plain({13, 16}), ChosenBy::gap_limit);
  CHECK(many.chosen > 13);
  CHECK(many.rows[static_cast<std::size_t>(many.chosen - 1)].below <= .05);
  CHECK_FALSE(many.too_poor);
  const auto around = rows_around_chosen(many);
  REQUIRE(around.size() == 5);
  CHECK(around[2].seeds_per_cell == many.chosen);
}

TEST_CASE("no lot is good enough for the limit: the fewest poor cells, and nonsense is refused") {
  CHECK(fewest_for(.05, .01) == most_worth_sowing({}));
  CHECK(is_too_poor(known(.05), plain()));
  CHECK(is_too_poor(known(.2), plain()));         // 0.8^12 = 7 % stay empty
  CHECK_FALSE(is_too_poor(known(.25), plain()));  // 0.75^12 = 3 %
  BatchTerms missing = plain();
  missing.sower.missed = .1;  // no number of seeds fills a cell that the sower misses
  CHECK(advise_batch(known(.9), {.9, .9, .9, ""}, missing, ChosenBy::gap_limit).chosen == 2);
  CHECK_THROWS_WITH_AS(batch_row(known(.8), 0, plain()), "seeds per cell is 0, but must be from 1 to 50",
                       std::invalid_argument);
  CHECK_THROWS_WITH_AS(batch_row(known(.8), 1, plain({3, 2})),
                       "most plants wanted is 2, but must be at least the fewest wanted",
                       std::invalid_argument);
  CHECK_THROWS_AS(batch_row({}, 1, plain()), std::invalid_argument);
}
