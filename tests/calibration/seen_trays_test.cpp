// SPDX-License-Identifier: Apache-2.0
#include "calibration/seen_trays.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

#include "calibration/bed_plan.h"
#include "calibration/checked_cells.h"
#include "calibration/grower_advice.h"
#include "calibration/lot_evidence.h"
#include "calibration/lot_report.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

Lot photographed(const std::vector<CellCount>& cells, int cols) {
  Lot lot;
  TrayMap map;
  map.name = "a.jpg";
  map.layout = {static_cast<int>(cells.size()) / cols, cols};
  map.from_photo = true;
  map.cells = cells;
  lot.trays.push_back(map);
  lot.readings.push_back(cell_readings(cells));
  return lot;
}

double sum_of(const std::vector<double>& cells) {
  return std::accumulate(cells.begin(), cells.end(), 0.);
}

}  // namespace

TEST_CASE("identity: unchecked trays are what was counted, each cell worth a cell") {
  const Lot lot = photographed(tray_of({5, 20, 75}, 2), 10);
  const auto seen = seen_trays(lot);
  REQUIRE(seen.size() == 1);
  CHECK(seen[0].cells_with == std::vector<double>{5, 20, 75});
  CHECK(worth_of_a_cell(lot) == 1);
  CHECK(count_variance(lot, 1) == 0);
}

TEST_CASE(
    "published: Tenenbein's double sample gives his share, a cell of each count more taken as read rightly") {
  // Tenenbein 1970, JASA 65:1350-1361, from memory: truth and counter 11 = 70, 10 = 10, 01 = 5, 00 = 15
  // checked, of 900 others 680 called full; share .802667 (recomputed with R 4.2.2).
  std::vector<CellCount> counted = joined(tray_of({0, 70}, 1), tray_of({10, 5}, 1));
  counted = joined(joined(counted, tray_of({15}, 1)), tray_of({220, 680}, 1));
  Lot lot = photographed(counted, 100);
  for (std::size_t cell = 0; cell < 100; ++cell) lot.checked.push_back({0, cell, cell < 80 ? 1 : 0});
  const auto seen = seen_trays(lot);
  REQUIRE(seen.size() == 1);
  CHECK(sum_of(seen[0].cells_with) == 1000);
  // Without those two cells 802.667 of 1,000; with them 80 + 680 · 71/76 + 220 · 10/26 = 799.9.
  CHECK(seen[0].cells_with[1] == 800);
  // The standard error of that share is .0335, so that the thousand cells would be worth √(.8 · .2 / 1000)² /
  // .0335² of theirs; some more, since the counter is not taken to be worse than it was seen to be.
  CHECK(worth_of_a_cell(lot) > .16 / 1000 / (.033456 * .033456));
  CHECK(worth_of_a_cell(lot) < 1.5 * .16 / 1000 / (.033456 * .033456));
  CHECK(counted_cells(lot)[75].seedlings == 1);
  CHECK(std::sqrt(count_variance(lot, 1)) > 20);
  CHECK(std::sqrt(count_variance(lot, 1)) < 40);
}

TEST_CASE("identity: checks that agree leave the advice as it was") {
  Lot lot = photographed(tray_of({12, 60}, 1), 12);
  const auto before = seen_trays(lot)[0].cells_with;
  for (std::size_t cell = 20; cell < 36; ++cell) lot.checked.push_back({0, cell, 1});
  CHECK(seen_trays(lot)[0].cells_with == before);
  CHECK(worth_of_a_cell(lot) == 1);
  CHECK(count_variance(lot, 1) == 0);
}

TEST_CASE("checks of one tray leave a lot's other trays as counted") {
  Lot lot = photographed(tray_of({30, 70}, 1), 10);
  lot.trays.push_back(lot.trays[0]);
  lot.readings.push_back(lot.readings[0]);
  for (std::size_t cell = 20; cell < 40; ++cell) lot.checked.push_back({0, cell, 1});
  const auto seen = seen_trays(lot);
  REQUIRE(seen.size() == 2);
  CHECK(seen[0].cells_with[0] < 5);
  CHECK(seen[1].cells_with == std::vector<double>{30, 70});
}

TEST_CASE("a cell that a person counted, or that holds more than was sown, stays as it is") {
  std::vector<CellCount> cells = tray_of({10, 10}, 1);
  Lot lot = photographed(cells, 10);
  lot.readings[0] = cell_readings(cells, SeedKind::single);
  lot.trays[0].cells[0].seedlings = 1;   // by hand, but not drawn
  lot.trays[0].cells[19].seedlings = 3;  // read as one of one
  for (const std::size_t cell : {1, 2, 3}) lot.checked.push_back({0, cell, 1});
  const auto seen = seen_trays(lot);
  CHECK(sum_of(seen[0].cells_with) == 20);
  CHECK(seen[0].cells_with[3] == 1);
  // Of 6 unchecked cells read as empty a quarter, 1.5, is taken to be, which rounds to 2.
  CHECK(seen[0].cells_with[0] == 2);
}

TEST_CASE("earlier sowings count a double as one seed that came up, a cluster as it is") {
  AdviceRequest request;
  Lot lot = photographed(tray_of({20, 40, 40}, 1), 10);
  request.earlier = {lot};
  CHECK(lot_evidence(request).earlier.at(0).seedlings == 80);
  CHECK(earlier_rate(request.earlier)->estimate == doctest::Approx(.8));
  request.earlier[0].seed = SeedKind::cluster;
  CHECK(lot_evidence(request).earlier.at(0).seedlings == 120);
  CHECK(earlier_rate(request.earlier)->estimate == doctest::Approx(1.2));
}

TEST_CASE("daily counts that ended are worth what came up, also where nothing did") {
  AdviceRequest request;
  request.lot = Lot{};
  request.lot->course = Inspections{400, {6, 8, 10, 14, 20}, {240, 240, 240, 240, 240}};
  const auto ended = lot_evidence(request).earlier;
  REQUIRE(ended.size() == 1);
  CHECK(ended[0].seedlings == doctest::Approx(240));
  CHECK(ended[0].seeds == doctest::Approx(400));
  request.lot->course = Inspections{400, {10, 20, 40}, {0, 0, 0}};
  for (const CropProfile* crop :
       {find_crop(built_in_profiles(), "kale"), static_cast<const CropProfile*>(nullptr)}) {
    request.crop = crop;
    REQUIRE(lot_evidence(request).earlier.size() == 1);
    CHECK(lot_evidence(request).earlier[0].seedlings == 0);
    CHECK(lot_evidence(request).earlier[0].seeds == 400);
    for (const std::string& remark : advise_on(request).remarks)
      CHECK(remark.find("leave open") == std::string::npos);
  }
  request.lot->course = Inspections{400, {2, 15}, {0, 0}};
  CHECK(lot_evidence(request).earlier.empty());
  request.crop = find_crop(built_in_profiles(), "kale");
  CHECK(lot_evidence(request).earlier.size() == 1);
  request.lot->course = Inspections{400, {2, 3}, {0, 0}};
  CHECK(lot_evidence(request).earlier.empty());
}

TEST_CASE(
    "simulation: a bed planned on 60 checked cells of a counter that overlooks seedlings holds what it "
    "says") {
  std::mt19937 random(31);
  int met = 0, met_unchecked = 0;
  double said = 0, cells_unchecked = 0, cells_checked = 0, cells_by_hand = 0;
  const int runs = 300;
  for (int run = 0; run < runs; ++run) {
    const double share = std::uniform_real_distribution<>(.7, .95)(random);
    const auto truth = grown_tray(264, 1, share, 0, random);
    auto counted = truth;
    for (CellCount& cell : counted)
      if (cell.seedlings == 1 && std::bernoulli_distribution(.08)(random)) cell.seedlings = 0;
    Lot lot = photographed(counted, 12);
    const SowingTerms terms{1, 1, 264, {}};
    const auto plan_of = [&](const Lot& of) {
      LotEvidence evidence;
      evidence.trays = seen_trays(of);
      evidence.worth = worth_of_a_cell(of);
      return plan_sowing(believe(evidence).lot, terms, 400, .95);
    };
    const SowingPlan unchecked = plan_of(lot), by_hand = plan_of(photographed(truth, 12));
    for (std::size_t cell = 0; cell < 60; ++cell)
      lot.checked.push_back({0, cell * 4, truth[cell * 4].seedlings});
    const SowingPlan checked = plan_of(lot);
    met += std::binomial_distribution<>(checked.cells, share)(random) >= 400;
    met_unchecked += std::binomial_distribution<>(unchecked.cells, share)(random) >= 400;
    said += checked.chance / runs;
    cells_unchecked += unchecked.cells / static_cast<double>(runs);
    cells_checked += checked.cells / static_cast<double>(runs);
    cells_by_hand += by_hand.cells / static_cast<double>(runs);
  }
  MESSAGE("met in ", 100. * met / runs, " % (said ", 100 * said, "); cells to sow: unchecked ",
          cells_unchecked, ", checked ", cells_checked, ", all by hand ", cells_by_hand);
  CHECK(met >= .93 * runs);
  // The overlooked seedlings had made it sow too much.
  CHECK(cells_checked < cells_unchecked);
  CHECK(cells_checked > cells_by_hand);
}

TEST_CASE("gaps in one patch are not missed cells, in the report or in the next batch; gaps anywhere are") {
  std::vector<CellCount> patch = tray_of({0, 2, 38, 88}, 3);
  std::mt19937 random(2);
  std::ranges::shuffle(patch, random);
  std::vector<CellCount> anywhere = patch;
  for (const std::size_t cell : {20, 21, 22, 36, 37, 38, 39, 52, 53, 54, 68, 69}) patch[cell].seedlings = 0;
  for (const std::size_t cell : {3, 13, 24, 36, 46, 55, 65, 73, 87, 99, 110, 121})
    anywhere[cell].seedlings = 0;
  AdviceRequest request;
  request.lot = photographed(patch, 16);
  CHECK(report_on(*request.lot).gaps->verdict == GapVerdict::more);
  CHECK(report_on(*request.lot).gaps->cause == GapCause::cannot_tell);
  CHECK(lot_evidence(request).sower.missed == 0);
  request.lot = photographed(anywhere, 16);
  CHECK(report_on(*request.lot).gaps->cause == GapCause::missed_cells);
  CHECK(lot_evidence(request).sower.missed > .05);
}

TEST_CASE("gaps that the counter doubts itself are not held against the sower") {
  AdviceRequest request;
  Lot lot = photographed(tray_of({2, 2, 10, 40, 74}, 4), 16);
  CHECK(report_on(lot).gaps->verdict == GapVerdict::more);
  CHECK(evidence_for_rule(lot, nullptr, std::nullopt, 1, 0).explanation->verdict == GapVerdict::more);
  for (const std::size_t cell : {0, 1}) lot.readings[0][cell].empty = .55;
  CHECK(report_on(lot).gaps->verdict == GapVerdict::cannot_tell);
  CHECK(evidence_for_rule(lot, nullptr, std::nullopt, 1, 0).explanation->verdict == GapVerdict::cannot_tell);
}
