// SPDX-License-Identifier: Apache-2.0
#include "calibration/gaps.h"

#include <algorithm>
#include <stdexcept>

#include "calibration/empty_cells.h"
#include "near.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("closed form: 100 cells of two seeds with 14, 28, 58 seedlings leave 7.84 empty at p = .72") {
  const GapExplanation gaps = explain_gaps(tray_of({14, 28, 58}, 2));
  CHECK(gaps.seen == 14);
  CHECK_PRINTS(gaps.expected, 7.84, 2);
  CHECK(gaps.verdict == GapVerdict::more);
  CHECK(gaps.cause == GapCause::cannot_tell);
  CHECK(gaps.sentence ==
        "14 empty cells against about 8 expected at 72 % germination: more gaps than this germination "
        "explains; "
        "missed by the sower, or failed together: with two seeds a cell the two can't be told apart.");
}

TEST_CASE("simulation: shuffled seeds leave as many cells empty as the exact moments say") {
  const auto tray = tray_of({4, 31, 38, 34}, 3);
  std::vector<int> seeds;
  for (const CellCount& cell : tray)
    for (int seed = 0; seed < cell.seeds; ++seed) seeds.push_back(seed < cell.seedlings);
  std::mt19937 random(7);
  const int runs = 20000;
  double sum = 0, squares = 0, at_least_nine = 0;
  for (int run = 0; run < runs; ++run) {
    std::shuffle(seeds.begin(), seeds.end(), random);
    int empty = 0;
    for (std::size_t at = 0; at < seeds.size(); at += 3)
      empty += !(seeds[at] || seeds[at + 1] || seeds[at + 2]);
    sum += empty, squares += empty * empty, at_least_nine += empty >= 9;
  }
  const Spread exact = empty_cells_given_total(tray);
  const double mean = sum / runs;
  // Three standard errors.
  CHECK_WITHIN(mean, exact.mean, 3 * std::sqrt(exact.variance / runs));
  CHECK_WITHIN(squares / runs - mean * mean, exact.variance, 3 * exact.variance * std::sqrt(2. / runs));
  CHECK_WITHIN(at_least_nine / runs, chance_of_at_least(9, exact), 3 * std::sqrt(.25 / runs));
}

TEST_CASE("the simulated cause is named: a sower that misses, a fate that is shared") {
  std::mt19937 random(23);
  auto missed = grown_tray(264, 5, .8, 0, random);
  for (std::size_t at = 0; at < missed.size(); at += 9) missed[at].seedlings = 0;
  const GapExplanation sower = explain_gaps(missed);
  CHECK(sower.cause == GapCause::missed_cells);
  CHECK_WITHIN(sower.missed, 30 / 264., 2 / 264.);
  CHECK(sower.sentence.find("as if the sower missed about 1") != std::string::npos);
  const GapExplanation fate = explain_gaps(grown_tray(264, 5, .6, .3, random));
  CHECK(fate.verdict == GapVerdict::more);
  CHECK(fate.cause == GapCause::shared_fate);
}

TEST_CASE("gaps that the germination explains, and too few of them") {
  const GapExplanation gaps = explain_gaps(tray_of({4, 32, 64}, 2));
  CHECK(gaps.verdict == GapVerdict::explained);
  CHECK(gaps.sentence ==
        "4 empty cells against about 4 expected at 80 % germination: the germination explains the gaps.");
  CHECK(gaps.usual.low <= 4);
  CHECK(gaps.usual.high >= 4);
  const GapExplanation few = explain_gaps(tray_of({0, 100}, 2));
  CHECK(few.verdict == GapVerdict::fewer);
  CHECK(few.sentence ==
        "0 empty cells against about 25 expected at 50 % germination: fewer gaps than this germination "
        "explains; was the number of seeds a cell right?");
}

TEST_CASE("gaps that the counter itself doubts tell nothing, those beyond its doubt do") {
  const auto tray = tray_of({6, 0, 10, 40, 72}, 4);
  CHECK(explain_gaps(tray).verdict == GapVerdict::more);
  CHECK(explain_gaps(tray, {1}).verdict == GapVerdict::more);
  const GapExplanation doubted = explain_gaps(tray, {5});
  CHECK(doubted.verdict == GapVerdict::cannot_tell);
  CHECK(doubted.cause == GapCause::none);
  CHECK(doubted.sentence.ends_with(
      ": more gaps than this germination explains, unless the counter is off; look at some of these cells."));
  const GapExplanation few = explain_gaps(tray_of({0, 100}, 2), {25});
  CHECK(few.verdict == GapVerdict::cannot_tell);
  CHECK(few.sentence.find(": fewer gaps than this germination explains, unless ") != std::string::npos);
  CHECK(explain_gaps(tray_of({4, 32, 64}, 2), {5}).verdict == GapVerdict::explained);
}

TEST_CASE("gaps that lie together are not said to be missed") {
  const auto tray = tray_of({12, 0, 10, 106}, 3);
  CHECK(explain_gaps(tray).cause == GapCause::missed_cells);
  const GapExplanation together = explain_gaps(tray, {.lie_together = true});
  CHECK(together.verdict == GapVerdict::more);
  CHECK(together.cause == GapCause::cannot_tell);
  CHECK(together.missed == 0);
  CHECK(together.sentence.find("they lie together, so that dry or cold patches") != std::string::npos);
}

TEST_CASE("one seed a cell, and clusters, can't be told") {
  CHECK(explain_gaps(tray_of({10, 90}, 1)).verdict == GapVerdict::cannot_tell);
  const GapExplanation clusters = explain_gaps(tray_of({10, 40, 50}, 1));
  CHECK(clusters.verdict == GapVerdict::cannot_tell);
  CHECK(clusters.sentence ==
        "50 cells hold more seedlings than seeds sown, so it can't be said whether the gaps come from the "
        "seed or from the sowing.");
}

TEST_CASE("a slip of the counter is no cluster") {
  CHECK(explain_gaps(joined(tray_of({4, 32, 64}, 2), {{3, 2}})).verdict == GapVerdict::explained);
}

TEST_CASE("a full and an empty tray are explained by their germination") {
  CHECK(explain_gaps(tray_of({0, 0, 50}, 2)).verdict == GapVerdict::explained);
  CHECK(explain_gaps(tray_of({50}, 2)).verdict == GapVerdict::explained);
}

TEST_CASE("gaps refuse nonsense") {
  CHECK_THROWS_AS(explain_gaps(std::vector<CellCount>{}), std::invalid_argument);
}
