// SPDX-License-Identifier: Apache-2.0
// What must hold for any tray, whatever its figures: order, direction, units and names don't matter, and more
// seedlings never look like worse seed. Trays are drawn at random with fixed seeds.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "calibration/findings.h"
#include "calibration/gaps.h"
#include "calibration/lot_report.h"
#include "calibration/missed_cells.h"
#include "calibration/rates.h"
#include "calibration/which_to_check.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

constexpr int kTrays = 40;

struct AnyTray {
  int rows = 0, cols = 0, seeds = 0;
  std::vector<CellCount> cells;
};

AnyTray any_tray(std::mt19937& random) {
  AnyTray tray;
  tray.rows = 3 + static_cast<int>(random() % 8);
  tray.cols = 3 + static_cast<int>(random() % 10);
  tray.seeds = 1 + static_cast<int>(random() % 5);
  const double rate = std::uniform_real_distribution<>(.3, .98)(random);
  const double rho = static_cast<double>(random() % 3) * .08;
  tray.cells = grown_tray(tray.rows * tray.cols, tray.seeds, rate, rho, random);
  return tray;
}

void check_same(const Estimate& one, const Estimate& other) {
  CHECK(one.estimate == doctest::Approx(other.estimate));
  CHECK(one.low == doctest::Approx(other.low));
  CHECK(one.high == doctest::Approx(other.high));
}

TrayMap map_of(const AnyTray& tray) {
  TrayMap map;
  map.layout = {tray.rows, tray.cols};
  map.cells = tray.cells;
  return map;
}

AnyTray mirrored(AnyTray tray) {
  for (int row = 0; row < tray.rows; ++row)
    std::reverse(tray.cells.begin() + row * tray.cols, tray.cells.begin() + (row + 1) * tray.cols);
  return tray;
}

}  // namespace

TEST_CASE("property: the order of cells and of trays changes no rate") {
  std::mt19937 random(101);
  for (int run = 0; run < kTrays; ++run) {
    auto first = any_tray(random).cells, second = any_tray(random).cells;
    const Estimate rate = germination_rate(first), gaps = gap_rate(first);
    const std::vector<std::vector<CellReading>> lot = {cell_readings(first), cell_readings(second)};
    std::ranges::shuffle(first, random);
    std::ranges::shuffle(second, random);
    check_same(germination_rate(first), rate);
    check_same(gap_rate(first), gaps);
    const std::vector<std::vector<CellReading>> turned = {cell_readings(second), cell_readings(first)};
    check_same(pooled_germination_rate(turned), pooled_germination_rate(lot));
    check_same(pooled_gap_rate(turned), pooled_gap_rate(lot));
  }
}

TEST_CASE("property: limits enclose the estimate, stay in 0 to 1, and nest with confidence") {
  std::mt19937 random(102);
  for (int run = 0; run < kTrays; ++run) {
    const auto cells = any_tray(random).cells;
    for (auto rate : {+[](std::span<const CellCount> of, double c) { return germination_rate(of, c); },
                      +[](std::span<const CellCount> of, double c) { return gap_rate(of, c); }}) {
      Estimate before = rate(cells, .5);
      for (const double confidence : {.8, .95, .99}) {
        const Estimate wider = rate(cells, confidence);
        CHECK(0 <= wider.low);
        CHECK(wider.low <= before.low);
        CHECK(before.low <= before.estimate);
        CHECK(before.estimate <= before.high);
        CHECK(before.high <= wider.high);
        CHECK(wider.high <= 1);
        before = wider;
      }
    }
  }
}

TEST_CASE(
    "property: one seedling more never lowers the germination rate's estimate, nor raises that of gaps") {
  std::mt19937 random(103);
  for (int run = 0; run < kTrays; ++run) {
    auto cells = any_tray(random).cells;
    const double rate = germination_rate(cells).estimate, gaps = gap_rate(cells).estimate;
    const auto room = std::ranges::find_if(cells, [](const CellCount& c) { return c.seedlings < c.seeds; });
    if (room == cells.end()) continue;
    ++room->seedlings;
    CHECK(germination_rate(cells).estimate > rate);
    CHECK(gap_rate(cells).estimate <= gaps);
  }
}

TEST_CASE("property: twice the cells of the same kind make every interval narrower") {
  std::mt19937 random(104);
  for (int run = 0; run < kTrays; ++run) {
    const auto cells = any_tray(random).cells;
    const auto twice = joined(cells, cells);
    const Estimate once = germination_rate(cells), both = germination_rate(twice);
    CHECK(both.estimate == doctest::Approx(once.estimate));
    CHECK(both.high - both.low < once.high - once.low);
    CHECK(gap_rate(twice).high - gap_rate(twice).low < gap_rate(cells).high - gap_rate(cells).low);
  }
}

TEST_CASE("property: a mirrored tray shows the mirrored findings, with the same chances") {
  std::mt19937 random(105);
  for (int run = 0; run < kTrays; ++run) {
    AnyTray tray = any_tray(random);
    const int jammed = static_cast<int>(random() % static_cast<unsigned>(tray.cols));
    for (int row = 0; row < tray.rows; ++row)
      tray.cells[static_cast<std::size_t>(row * tray.cols + jammed)].seedlings = 0;
    const auto there = find_patterns(map_of(tray)), back = find_patterns(map_of(mirrored(tray)));
    auto chances = [](const std::vector<Finding>& findings) {
      std::vector<double> of;
      for (const Finding& finding : findings)
        if (finding.kind != FindingKind::run) of.push_back(finding.p_value);
      std::ranges::sort(of);
      return of;
    };
    const auto one = chances(there), other = chances(back);
    REQUIRE(one.size() == other.size());
    for (std::size_t at = 0; at < one.size(); ++at) CHECK(one[at] == doctest::Approx(other[at]));
  }
}

TEST_CASE("property: what explains the gaps does not depend on where they lie, and its chances are chances") {
  std::mt19937 random(106);
  for (int run = 0; run < kTrays; ++run) {
    auto cells = any_tray(random).cells;
    const GapExplanation before = explain_gaps(cells);
    std::ranges::shuffle(cells, random);
    const GapExplanation after = explain_gaps(cells);
    CHECK(after.sentence == before.sentence);
    CHECK(after.p_more == before.p_more);
    CHECK(before.p_more >= 0);
    CHECK(before.p_more <= 1);
    CHECK(before.p_more + before.p_fewer >= 1 - 1e-9);  // both count what was seen
    CHECK(before.usual.low <= before.usual.high);
  }
}

TEST_CASE("property: neither story of the gaps is less likely than plain germination") {
  std::mt19937 random(107);
  for (int run = 0; run < kTrays; ++run) {
    const auto cells = any_tray(random).cells;
    const BetaBinomialFit shared = fit_beta_binomial(cells);
    const MissedCellsFit missed = fit_missed_cells(cells);
    CHECK(shared.log_likelihood >= shared.binomial_log_likelihood - 1e-9);
    CHECK(missed.log_likelihood >= shared.binomial_log_likelihood - 1e-6);
    CHECK(missed.missed >= 0);
    CHECK(missed.missed <= 1);
    CHECK(missed.p_value <= 1);
  }
}

TEST_CASE("property: a lot's name, and its trays' names, change no figure") {
  std::mt19937 random(109);
  for (int run = 0; run < kTrays; ++run) {
    Lot lot;
    const AnyTray tray = any_tray(random);
    lot.trays = {map_of(tray)};
    lot.readings = {cell_readings(tray.cells)};
    const LotReport plain = report_on(lot);
    lot.name = "Rowan \"12\", late";
    lot.trays[0].name = "bench/7.jpg";
    const LotReport named = report_on(lot);
    check_same(*named.germination_rate, *plain.germination_rate);
    CHECK(named.findings.size() == plain.findings.size());
    CHECK(named.overdispersion->rho == plain.overdispersion->rho);
    CHECK(named.seedlings == plain.seedlings);
    CHECK(named.empty == plain.empty);
  }
}
