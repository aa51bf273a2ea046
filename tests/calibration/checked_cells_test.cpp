// SPDX-License-Identifier: Apache-2.0
#include "calibration/checked_cells.h"

#include <random>
#include <sstream>
#include <stdexcept>

#include "calibration/rates.h"
#include "near.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

Lot photographed_lot(const std::string& tray, Layout layout, const std::vector<CellCount>& cells) {
  Lot lot;
  lot.name = "leek";
  TrayMap map;
  map.name = tray;
  map.layout = layout;
  map.from_photo = true;
  map.cells = cells;
  lot.trays.push_back(map);
  lot.readings.push_back(cell_readings(cells));
  return lot;
}

std::string refusal(std::vector<Lot> lots, const std::string& csv) {
  std::istringstream in(csv);
  try {
    add_checked(lots, in, "hand.csv");
  } catch (const std::invalid_argument& why) {
    return why.what();
  }
  return "";
}

}  // namespace

TEST_CASE("published: the double sample of counter_error_test, as cells of a lot (Tenenbein 1970: .802667)") {
  // Truth and counter: 11 = 70, 10 = 10, 01 = 5, 00 = 15 checked; of 900 others the counter calls 680 full.
  std::vector<CellCount> counted = joined(tray_of({0, 70}, 1), tray_of({10, 5}, 1));
  counted = joined(joined(counted, tray_of({15}, 1)), tray_of({220, 680}, 1));
  Lot lot = photographed_lot("a.jpg", {10, 100}, counted);
  for (std::size_t cell = 0; cell < 100; ++cell) lot.checked.push_back({0, cell, cell < 80 ? 1 : 0});
  const Estimate rate = checked_germination_rate(lot), gaps = checked_gap_rate(lot);
  CHECK_PRINTS(rate.estimate, .802667, 6);
  // A little wider than Student's t on the published standard error: one error more than was seen is allowed.
  CHECK((rate.high - rate.low) / 2 > 1.984217 * .033456);
  CHECK((rate.high - rate.low) / 2 < 1.984217 * .033456 * 1.05);
  CHECK(gaps.estimate == doctest::Approx(1 - rate.estimate));
  CHECK(rate.method == "power-tuned prediction-powered mean, 100 cells checked by hand");
}

TEST_CASE("checked cells come from a list, counted from 1 or from 0") {
  const std::vector<Lot> lots = {photographed_lot("a.jpg", {2, 3}, tray_of({1, 5}, 1)),
                                 photographed_lot("b.jpg", {2, 3}, tray_of({1, 5}, 1))};
  std::vector<Lot> from_one = lots, from_nought = lots;
  std::istringstream one("lot,tray,row,col,count\nx,b.jpg,2,3,4\nx,b.jpg,1,1,0\n");
  add_checked(from_one, one, "hand.csv");
  CHECK(from_one[0].checked.empty());
  REQUIRE(from_one[1].checked.size() == 2);
  CHECK(from_one[1].checked[1].cell == 5);
  CHECK(from_one[1].checked[1].seedlings == 4);
  std::istringstream nought("lot,tray,row,col,count\nx,a.jpg,1,2,4\nx,a.jpg,0,0,0\n");
  add_checked(from_nought, nought, "hand.csv");
  CHECK(from_nought[0].checked[1].cell == 5);
}

TEST_CASE("simulation: a counter that overlooks seedlings is set right by 80 checked cells") {
  std::mt19937 random(12);
  int holds = 0, naive_holds = 0;
  const int runs = 300;
  for (int run = 0; run < runs; ++run) {
    const auto truth = grown_tray(264, 3, .85, .05, random);
    auto counted = truth;
    for (CellCount& cell : counted)
      cell.seedlings = drawn(beta_binomial_chances(cell.seedlings, .93, 0), random);
    Lot lot = photographed_lot("a.jpg", {22, 12}, counted);
    for (std::size_t cell = 0; cell < 80; ++cell)
      lot.checked.push_back({0, cell * 3, truth[cell * 3].seedlings});
    const Estimate rate = checked_germination_rate(lot), naive = germination_rate(counted);
    holds += rate.low <= .85 && .85 <= rate.high;
    naive_holds += naive.low <= .85 && .85 <= naive.high;
  }
  CHECK(holds >= .92 * runs);
  CHECK(naive_holds < .2 * runs);
}

TEST_CASE("checked cells that all agree don't make the rest certain") {
  Lot lot = photographed_lot("a.jpg", {10, 30}, tray_of({0, 300}, 1));
  for (std::size_t cell = 0; cell < 30; ++cell) lot.checked.push_back({0, cell, 1});
  const Estimate rate = checked_germination_rate(lot), gaps = checked_gap_rate(lot);
  CHECK(rate.estimate == 1);
  CHECK(rate.high == 1);
  CHECK(rate.low > .7);
  CHECK(rate.low < wilson(30, 30).low);  // the counter may err where nobody looked
  CHECK(gaps.low == 0);
  CHECK(gaps.high == doctest::Approx(1 - rate.low));
}

TEST_CASE("identity: more checked cells, never a wider interval of the same rate") {
  double before = 1;
  for (const std::size_t many : {10u, 30u, 60u, 120u, 240u}) {
    Lot lot = photographed_lot("a.jpg", {10, 30}, tray_of({60, 240}, 1));
    for (std::size_t cell = 0; cell < many; ++cell)
      lot.checked.push_back({0, (cell * 7) % 300, (cell * 7) % 300 < 60 ? 0 : 1});
    const Estimate rate = checked_germination_rate(lot);
    CHECK(rate.high - rate.low < before);
    before = rate.high - rate.low;
  }
}

TEST_CASE("identity: a cell checked twice counts once, with the last word") {
  Lot once = photographed_lot("a.jpg", {4, 10}, tray_of({10, 30}, 1));
  for (std::size_t cell = 0; cell < 20; ++cell) once.checked.push_back({0, cell, cell < 8 ? 0 : 1});
  Lot twice = once;
  for (std::size_t cell = 0; cell < 20; ++cell) twice.checked.insert(twice.checked.begin(), {0, cell, 1});
  CHECK(checked_germination_rate(twice).low == checked_germination_rate(once).low);
  CHECK(checked_germination_rate(twice).method == checked_germination_rate(once).method);
}

TEST_CASE("doubles found by hand are cut for single seeds, counted for clusters") {
  Lot lot = photographed_lot("a.jpg", {4, 10}, tray_of({10, 30}, 1));
  for (std::size_t cell = 0; cell < 40; ++cell) lot.checked.push_back({0, cell, cell < 10 ? 0 : 2});
  CHECK(checked_germination_rate(lot).estimate == doctest::Approx(.75));
  lot.seed = SeedKind::cluster;
  CHECK(checked_germination_rate(lot).estimate == doctest::Approx(1.5));
  CHECK(checked_germination_rate(lot).high > 1);
}

TEST_CASE("what can't be matched is refused") {
  const std::vector<Lot> lots = {photographed_lot("a.jpg", {2, 3}, tray_of({1, 5}, 1))};
  const std::string header = "lot,tray,row,col,count\n";
  CHECK(refusal(lots, header + "x,c.jpg,1,1,1\n") == "hand.csv: tray c.jpg is none of the photos");
  CHECK(refusal(lots, header + "x,a.jpg,3,1,1\n") ==
        "hand.csv: row 3, column 1 lies outside tray a.jpg of 2 x 3 cells");
  CHECK(refusal(lots, "lot,sown,germinated\nx,3,1\n") ==
        "hand.csv: checked cells need the columns lot,tray,row,col,count");
  CHECK_THROWS_AS(checked_germination_rate(lots[0]), std::invalid_argument);
  CHECK_THROWS_AS(checked_gap_rate(Lot{}), std::invalid_argument);
}
