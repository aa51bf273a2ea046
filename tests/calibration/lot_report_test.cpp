// SPDX-License-Identifier: Apache-2.0
#include "calibration/lot_report.h"

#include <stdexcept>

#include "calibration/overdispersion.h"
#include "near.h"
#include "series.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

Lot lot_of_trays(const std::vector<std::vector<CellCount>>& trays, Layout layout) {
  Lot lot;
  lot.name = "Harebell 3";
  for (const auto& cells : trays) {
    TrayMap map;
    map.name = std::string(1, static_cast<char>('A' + lot.trays.size()));
    map.layout = layout;
    map.cells = cells;
    lot.trays.push_back(map);
    lot.readings.push_back(cell_readings(cells));
  }
  return lot;
}

Lot lot_of_replicates(std::vector<CellCount> replicates) {
  Lot lot;
  lot.name = "dishes";
  lot.replicates = std::move(replicates);
  return lot;
}

}  // namespace

TEST_CASE("closed form: one tray of two seeds a cell, 14, 28 and 58 of 100 cells") {
  const LotReport report = report_on(lot_of_trays({tray_of({14, 28, 58}, 2)}, {10, 10}));
  CHECK(report.cells == 100);
  CHECK(report.empty == 14);
  CHECK(report.seedlings == 144);
  CHECK(report.germination_rate->estimate == doctest::Approx(.72));
  CHECK(report.gap_rate->estimate == doctest::Approx(.14));
  CHECK_PRINTS(report.overdispersion->rho, .305556, 6);
  CHECK_PRINTS(report.overdispersion->tarone_z.value(), 3.0556, 4);
  CHECK(report.gaps->verdict == GapVerdict::more);
  CHECK_FALSE(report.findings.empty());  // the empty cells fill row after row
  CHECK(report.check_next.empty());
}

TEST_CASE("gaps of a column that stands out are not said to be missed, or to lie together, once more") {
  std::vector<CellCount> cells(std::size_t{10} * 20, CellCount{3, 4});
  for (std::size_t row = 0; row < 10; ++row) cells[20 * row + 6] = {0, 4};
  for (const std::size_t place : {3, 77, 140}) cells[place] = {4, 4};
  CHECK(report_on(lot_of_trays({cells}, {10, 20})).gaps->sentence ==
        "10 empty cells against about 1 expected at 72 % germination: more gaps than this germination "
        "explains; all of them lie in column 7.");
  cells[5] = {0, 4};
  CHECK(report_on(lot_of_trays({cells}, {10, 20}))
            .gaps->sentence.ends_with(
                "; 10 of them lie in column 7, the others are no more than it explains."));
  cells[5] = {3, 4};
  for (const std::size_t row : {2, 3, 4, 5})
    for (const std::size_t col : {12, 13, 14, 15}) cells[20 * row + col] = {0, 4};
  const LotReport both = report_on(lot_of_trays({cells}, {10, 20}));
  CHECK(both.gaps->sentence.ends_with(
      "; 10 of them lie in column 7, and the others are more, too: they lie together, so that dry or cold "
      "patches, or pests, are likelier than missed cells."));
  CHECK(report_on(lot_of_trays({cells, cells}, {10, 20}))
            .gaps->sentence.find("lie in rows, columns or holes that stand out, and") != std::string::npos);
}

TEST_CASE("published: Crowder's 21 plates as one lot of replicates, and as four lots") {
  const std::vector<std::vector<CellCount>> groups = {
      {{10, 39}, {23, 62}, {23, 81}, {26, 51}, {17, 39}},
      {{5, 6}, {53, 74}, {55, 72}, {32, 51}, {46, 79}, {10, 13}},
      {{8, 16}, {10, 30}, {8, 28}, {23, 45}, {0, 4}},
      {{3, 12}, {22, 41}, {15, 30}, {32, 51}, {3, 7}}};
  std::vector<CellCount> all;
  std::vector<Lot> lots;
  for (const auto& group : groups) {
    all = joined(all, group);
    lots.push_back(lot_of_replicates(group));
  }
  const LotReport one = report_on(lot_of_replicates(all));
  CHECK_PRINTS(one.overdispersion->rho, .081572, 6);
  CHECK_PRINTS(one.overdispersion->log_likelihood, -64.5163, 4);
  CHECK_PRINTS(one.overdispersion->tarone_z.value(), 14.4865, 4);
  CHECK(one.overdispersion->unit == "replicates");
  CHECK_FALSE(one.gap_rate);
  const auto across = overdispersion_across(lots);
  REQUIRE(across);
  CHECK_PRINTS(across->rho, .012361, 6);
  CHECK_PRINTS(across->log_likelihood, -53.7668, 4);
  CHECK_FALSE(overdispersion_across(std::vector{lots[0]}));
}

TEST_CASE("trays that differ are no shared fate of their cells") {
  // Binomial to the cell: of 1,000 cells with two seeds each, 90 and 40 % up.
  const auto good = tray_of({10, 180, 810}, 2), poor = tray_of({360, 480, 160}, 2);
  const LotReport report = report_on(lot_of_trays({good, poor}, {40, 25}));
  CHECK_PRINTS(report.overdispersion->rho, 0, 6);
  CHECK_PRINTS(report.overdispersion->tarone_z.value(), 0, 6);
  CHECK(report.overdispersion->design_effect == doctest::Approx(1).epsilon(.002));
  CHECK(report.gaps->seen == 370);
  CHECK(report.gaps->expected == doctest::Approx(370));
  CHECK(report.gaps->verdict == GapVerdict::explained);
  CHECK(report.gaps->sentence.starts_with(
      "370 empty cells against about 370 expected at the germination of each tray"));
  // Alike trays are what one tray of all their cells is.
  const auto tray = tray_of({14, 28, 58}, 2);
  const LotReport twice = report_on(lot_of_trays({tray, tray}, {10, 10}));
  CHECK(*twice.overdispersion->tarone_z == doctest::Approx(*tarone_z(joined(tray, tray))));
  CHECK(twice.gaps->expected == doctest::Approx(explain_gaps(joined(tray, tray)).expected));
}

TEST_CASE("one replicate alone says nothing of a shared fate") {
  const Lot one = lot_of_replicates({{380, 400}}), other = lot_of_replicates({{340, 400}});
  CHECK_FALSE(report_on(one).overdispersion);
  CHECK(report_on(one).remarks.empty());
  CHECK_FALSE(overdispersion_across(std::vector{one, other}));
  CHECK(overdispersion_across(std::vector{one, lot_of_replicates({{170, 200}, {160, 200}})}));
}

TEST_CASE("a lot over time") {
  Lot lot;
  lot.name = "chickweed";
  lot.course = chickweed();
  const LotReport report = report_on(lot);
  CHECK(report.germination_rate->estimate == doctest::Approx(.2));
  CHECK(report.time_course->times->t50_coolbear == doctest::Approx(196.5));
  CHECK_PRINTS(report.time_course->fit->half_time, 196.053, 3);
  CHECK(report.time_course->final_rate.estimate == doctest::Approx(.20011).epsilon(1e-4));
  CHECK(report.remarks.empty());
  lot.course = Inspections{20, {3, 5}, {0, 0}};
  const LotReport none = report_on(lot);
  CHECK_FALSE(none.time_course->times);
  CHECK(none.time_course->final_rate.high == 1);
}

TEST_CASE("what will be up in the end is no surer than what is up now") {
  Lot lot = lot_of_trays({tray_of({30, 42}, 1), tray_of({2, 70}, 1)}, {6, 12});
  lot.course = Inspections{144, {4, 6, 8, 10, 12, 14}, {8, 50, 98, 110, 112, 112}};
  const LotReport report = report_on(lot);
  const Estimate now = *report.germination_rate, end = report.time_course->final_rate;
  CHECK(end.estimate == doctest::Approx(now.estimate).epsilon(.01));
  CHECK(end.low == doctest::Approx(now.low).epsilon(.02));
  CHECK(end.high >= now.high);
}

TEST_CASE("four hundreds are held against the tolerance table") {
  CHECK(report_on(lot_of_replicates({{92, 100}, {78, 100}, {95, 100}, {91, 100}})).replicates->acceptable ==
        false);
  CHECK_FALSE(report_on(lot_of_replicates({{92, 100}, {78, 100}, {95, 100}})).replicates);
  CHECK_FALSE(report_on(lot_of_replicates({{46, 50}, {78, 100}})).replicates);
}

TEST_CASE("seeds that nobody told leave gaps and places, and say so") {
  Lot lot = lot_of_trays({tray_of({2, 98}, 1)}, {10, 10});
  lot.seeds_known = false;
  const LotReport report = report_on(lot);
  CHECK_FALSE(report.germination_rate);
  CHECK_FALSE(report.overdispersion);
  CHECK(report.gap_rate->estimate == doctest::Approx(.02));
  CHECK(report.remarks.back().find("--seeds N") != std::string::npos);
}

TEST_CASE("seed clusters: a rate above one, and nothing said of shared fate") {
  Lot lot = lot_of_trays({tray_of({10, 30, 60}, 1)}, {10, 10});
  lot.seed = SeedKind::cluster;
  const LotReport report = report_on(lot);
  CHECK(report.germination_rate->estimate == doctest::Approx(1.5));
  CHECK_FALSE(report.overdispersion);
  CHECK_FALSE(report.gaps);
  CHECK(report.surplus == 0);
  CHECK(report.remarks ==
        std::vector<std::string>{"Too many cells hold more seedlings than seeds to measure shared fate."});
}

TEST_CASE("doubles of single seeds are left out of the rate, and said so") {
  Lot lot = lot_of_trays({joined(tray_of({20, 78}, 1), {{2, 1}, {3, 1}})}, {10, 10});
  lot.readings[0] = cell_readings(lot.trays[0].cells, SeedKind::single);
  const LotReport report = report_on(lot);
  CHECK(report.germination_rate->estimate == doctest::Approx(.8));
  CHECK(report.gap_rate->estimate == doctest::Approx(.2));
  CHECK(report.seedlings == 83);
  CHECK(report.surplus == 3);
  CHECK(
      report.remarks.back() ==
      "3 seedlings beyond the seeds sown in their cells were left out of the germination rate: the sower or "
      "the counter doubled. Crops sown as clusters, such as beet, may do so: --crop tells.");
}

TEST_CASE("dishes of single seeds that hold more seedlings than seeds come up whole, not beyond") {
  const LotReport report = report_on(lot_of_replicates({{52, 50}, {48, 50}}));
  CHECK(report.germination_rate->estimate == doctest::Approx(.98));
  CHECK(report.surplus == 2);
  Lot clusters = lot_of_replicates({{90, 50}, {80, 50}});
  clusters.seed = SeedKind::cluster;
  CHECK(report_on(clusters).germination_rate->estimate == doctest::Approx(1.7));
}

TEST_CASE("trays of a lot that differ widen its interval; the same cells in one tray do not") {
  const auto good = tray_of({2, 16, 82}, 2), poor = tray_of({30, 40, 30}, 2);
  const LotReport apart = report_on(lot_of_trays({good, poor}, {10, 10})),
                  one = report_on(lot_of_trays({joined(good, poor)}, {10, 20}));
  CHECK(apart.germination_rate->estimate == doctest::Approx(one.germination_rate->estimate));
  CHECK(apart.germination_rate->high - apart.germination_rate->low >
        3 * (one.germination_rate->high - one.germination_rate->low));
  CHECK(apart.germination_rate->method == "Wilson, cells and trays as clusters");
}

TEST_CASE("the cells that the counter is least sure of are named") {
  Lot lot = lot_of_trays({tray_of({0, 6}, 1), tray_of({0, 6}, 1)}, {2, 3});
  lot.readings[1][4].spread = .2;
  lot.readings[0][2].spread = .3;
  const LotReport report = report_on(lot);
  REQUIRE(report.check_next.size() == 2);
  CHECK(report.check_next[0].tray == "A");
  CHECK(report.check_next[0].place == "row 1, column 3");
  CHECK(report.check_next[1].row == 1);
  CHECK(report.check_next[1].col == 1);
}

TEST_CASE("a jammed hole in all trays comes before what one tray shows") {
  std::vector<std::vector<CellCount>> trays(6, tray_of({0, 104}, 1));
  for (auto& tray : trays) tray[45] = {0, 1};
  const LotReport report = report_on(lot_of_trays(trays, {8, 13}));
  REQUIRE(report.findings.size() == 1);
  CHECK(report.findings[0].kind == FindingKind::repeated_place);
  CHECK(report.findings[0].tray.empty());
}

TEST_CASE("a lot that holds nothing") {
  Lot lot;
  lot.name = "empty";
  CHECK_THROWS_WITH_AS(report_on(lot), "lot empty: no seed was sown", std::invalid_argument);
}
