// SPDX-License-Identifier: Apache-2.0
#include "calibration/gaps.h"

#include <algorithm>
#include <random>
#include <vector>

#include "near.h"

using namespace braird;

namespace {

std::vector<CellCount> tray_of(const std::vector<int>& cells_with_seedlings, int seeds) {
  std::vector<CellCount> tray;
  for (int k = 0; k < static_cast<int>(cells_with_seedlings.size()); ++k)
    tray.insert(tray.end(), static_cast<std::size_t>(cells_with_seedlings[k]), CellCount{k, seeds});
  return tray;
}

}  // namespace

TEST_CASE("closed form: 100 cells of two seeds with 14, 28, 58 seedlings leave 7.84 empty at p = .72") {
  const GapExplanation gaps = explain_gaps(tray_of({14, 28, 58}, 2));
  CHECK(gaps.seen == 14);
  CHECK_PRINTS(gaps.expected, 7.84, 2);
  CHECK(gaps.verdict == GapVerdict::more);
  CHECK(gaps.sentence ==
        "14 empty cells against about 8 expected at 72 % germination: more gaps than this germination explains; "
        "something hit whole cells (missed by the sower, or failed together: two seeds a cell can't tell).");
}

TEST_CASE("simulation: the chance of so many empties matches shuffled seeds") {
  const auto tray = tray_of({9, 20, 40, 35}, 3);
  std::vector<int> seeds;
  for (const CellCount& cell : tray)
    for (int seed = 0; seed < cell.seeds; ++seed) seeds.push_back(seed < cell.seedlings);
  std::mt19937 random(7);
  const int runs = 4000;
  int as_many = 0;
  for (int run = 0; run < runs; ++run) {
    std::shuffle(seeds.begin(), seeds.end(), random);
    int empty = 0;
    for (std::size_t at = 0; at < seeds.size(); at += 3) empty += !(seeds[at] || seeds[at + 1] || seeds[at + 2]);
    as_many += empty >= 4;
  }
  const GapExplanation expected = explain_gaps(tray);
  CHECK(expected.verdict == GapVerdict::more);
  // The same total of seedlings, four empty: the null distribution is the same one.
  const GapExplanation four = explain_gaps(tray_of({4, 31, 38, 34}, 3));
  CHECK(four.seen == 4);
  CHECK(four.p_more == doctest::Approx(static_cast<double>(as_many) / runs).epsilon(0.15));
}

TEST_CASE("gaps that the germination explains") {
  const GapExplanation gaps = explain_gaps(tray_of({4, 32, 64}, 2));
  CHECK(gaps.verdict == GapVerdict::explained);
  CHECK(gaps.usual.low <= 4);
  CHECK(gaps.usual.high >= 4);
}

TEST_CASE("one seed a cell, and clusters, can't be told") {
  CHECK(explain_gaps(tray_of({10, 90}, 1)).verdict == GapVerdict::cannot_tell);
  CHECK(explain_gaps(tray_of({10, 40, 50}, 1)).verdict == GapVerdict::cannot_tell);
}

TEST_CASE("a full and an empty tray are explained by their germination") {
  CHECK(explain_gaps(tray_of({0, 0, 50}, 2)).verdict == GapVerdict::explained);
  CHECK(explain_gaps(tray_of({50}, 2)).verdict == GapVerdict::explained);
}
