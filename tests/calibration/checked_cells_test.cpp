// SPDX-License-Identifier: Apache-2.0
#include "calibration/checked_cells.h"

#include <cmath>
#include <random>
#include <sstream>
#include <stdexcept>

#include "calibration/checked_list.h"
#include "calibration/counter_doubt.h"
#include "calibration/rates.h"
#include "near.h"
#include "photo_counter.h"
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
  for (CellReading& cell : lot.readings[0]) cell.off = 1;  // the counter vouches for nothing
  for (std::size_t cell = 0; cell < 100; ++cell) lot.checked.push_back({0, cell, cell < 80 ? 1 : 0});
  const Estimate rate = checked_germination_rate(lot), gaps = checked_gap_rate(lot);
  CHECK(rate.estimate == doctest::Approx(.802667).epsilon(.0002));  // a cell of each count more reads rightly
  // A little wider than Student's t on the published standard error: one error more than was seen is allowed.
  CHECK((rate.high - rate.low) / 2 > 1.984217 * .033456);
  CHECK((rate.high - rate.low) / 2 < 1.984217 * .033456 * 1.08);
  CHECK(gaps.estimate == doctest::Approx(1 - rate.estimate));
  CHECK(rate.method == "Wilson, cells as clusters, with the counter's doubt, 100 cells checked by hand");
}

TEST_CASE("checked cells come from a list, counted from 1 or from 0") {
  const std::vector<Lot> lots = {photographed_lot("a.jpg", {2, 3}, tray_of({1, 5}, 1)),
                                 photographed_lot("b.jpg", {2, 3}, tray_of({1, 5}, 1))};
  std::vector<Lot> from_one = lots, from_nought = lots;
  std::istringstream one("lot,tray,row,col,count\nx,b.jpg,2,3,4\nx,b.jpg,1,1,0\n");
  add_checked(from_one, one, "hand.csv");
  CHECK(!from_one[0].readings[0][0].by_hand);
  CHECK(from_one[1].readings[0][0].by_hand);
  CHECK(from_one[1].readings[0][5].seedlings == 1);  // a seed gives one plant
  CHECK(from_one[1].trays[0].cells[5].seedlings == 4);
  std::istringstream nought("lot,tray,row,col,count\nx,a.jpg,1,2,4\nx,a.jpg,0,0,0\n");
  add_checked(from_nought, nought, "hand.csv");
  CHECK(from_nought[0].trays[0].cells[5].seedlings == 4);
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

TEST_CASE(
    "simulation: 60 of 300 cells of six seeds hold, where nearly all came up (the whole table: "
    "coverage.md)") {
  std::mt19937_64 random(31);
  const int runs = 1000;
  int holds = 0;
  for (int run = 0; run < runs; ++run) {
    const double logit = std::log(99) + std::uniform_real_distribution<>(-.5, .5)(random),
                 p = 1 / (1 + std::exp(-logit));
    const auto truth = grown_tray(300, 6, p, .15, random);
    Lot lot;
    lot.readings.push_back(cell_readings(read_by(any_counter(truth, random), truth, random), 6));
    for (std::size_t cell = 0; cell < 60; ++cell) lot.checked.push_back({0, cell, truth[cell].seedlings});
    const Estimate rate = checked_germination_rate(lot);
    holds += rate.low <= p && p <= rate.high;
  }
  CHECK(holds >= .92 * runs);
}

TEST_CASE("identity: checks that agree move nothing and widen nothing, though none of them is a gap") {
  for (const int gaps : {0, 12})
    for (const double off : {0., .1})
      for (const std::size_t many : {8u, 16u, 60u}) {
        Lot lot = photographed_lot("a.jpg", {6, 12}, tray_of({gaps, 72 - gaps}, 1));
        for (CellReading& cell : lot.readings[0]) cell.off = off, cell.empty += cell.empty > 0 ? -off : off;
        const Estimate rate = pooled_germination_rate(lot.readings), empty = pooled_gap_rate(lot.readings);
        for (std::size_t cell = 72 - many; cell < 72; ++cell) lot.checked.push_back({0, cell, 1});
        const Estimate checked = checked_germination_rate(lot), checked_empty = checked_gap_rate(lot);
        CHECK(checked.estimate == doctest::Approx(rate.estimate));
        CHECK(checked.low >= rate.low - 1e-9);
        CHECK(checked.high <= rate.high + 1e-9);
        CHECK(checked_empty.estimate == doctest::Approx(gaps / 72.));
        CHECK(checked_empty.low >= empty.low - 1e-9);
        CHECK(checked_empty.high <= empty.high + 1e-9);
      }
}

TEST_CASE("identity: a tray counted by hand to the last cell is a plain hand count") {
  const auto truth = tray_of({5, 67}, 1);
  Lot lot = photographed_lot("a.jpg", {6, 12}, tray_of({20, 52}, 1));
  for (CellReading& cell : lot.readings[0]) cell.off = .2;
  for (std::size_t cell = 0; cell < truth.size(); ++cell)
    lot.checked.push_back({0, cell, truth[cell].seedlings});
  const Estimate by_hand = germination_rate(truth), checked = checked_germination_rate(lot);
  const Estimate gaps = gap_rate(truth), checked_gaps = checked_gap_rate(lot);
  for (const auto& [one, other] : {std::pair(by_hand, checked), std::pair(gaps, checked_gaps)}) {
    CHECK(one.estimate == doctest::Approx(other.estimate));
    CHECK(one.low == doctest::Approx(other.low));
    CHECK(one.high == doctest::Approx(other.high));
  }
}

TEST_CASE("one of sixteen cells that was overlooked doesn't outweigh the photo's other gaps") {
  Lot lot = photographed_lot("a.jpg", {6, 12}, tray_of({12, 60}, 1));
  for (std::size_t cell = 11; cell < 27; ++cell) lot.checked.push_back({0, cell, 1});
  const Estimate gaps = checked_gap_rate(lot);
  CHECK(gaps.estimate > .04);
  CHECK(gaps.estimate < 11 / 72.);
  CHECK(gaps.high > 11 / 72.);
}

TEST_CASE("checks of other trays correct by the number said, and leave the photo its own doubt") {
  CheckedTrays trays{{cell_readings(tray_of({10, 40}, 1))}, {}, {}};
  for (CellReading& cell : trays.trays[0]) cell.off = .02;
  const Estimate plain = pooled_germination_rate(trays.trays);
  const auto add_checks = [&](double seeds, double truth) {
    for (int cell = 0; cell < 400; ++cell) trays.elsewhere.push_back({{0, 0, 1, seeds}, truth});
  };
  add_checks(6, 6);  // nothing is learnt from cells of other seeds
  CHECK(checked_germination_rate(trays).low == doctest::Approx(plain.low));
  CHECK(checked_germination_rate(trays).high == doctest::Approx(plain.high));
  add_checks(1, 0);
  CHECK(checked_germination_rate(trays).low == doctest::Approx(plain.low));
  CHECK(checked_germination_rate(trays).high == doctest::Approx(plain.high));
  trays.elsewhere.clear();
  add_checks(1, 1);
  const Estimate corrected = checked_germination_rate(trays);
  CHECK(corrected.estimate > .99);
  CHECK(corrected.low < 1 - 1.6 * kKappa * .02);
  CHECK(checked_gap_rate(trays).estimate < .01);
}

TEST_CASE("identity: the more cells agree, the narrower the interval") {
  double before = 1;
  for (const std::size_t many : {10u, 30u, 60u, 120u, 240u}) {
    Lot lot = photographed_lot("a.jpg", {10, 30}, tray_of({60, 240}, 1));
    for (CellReading& cell : lot.readings[0]) cell.off = .1;
    for (std::size_t cell = 0; cell < many; ++cell)
      lot.checked.push_back({0, (cell * 7) % 300, (cell * 7) % 300 < 60 ? 0 : 1});
    const Estimate rate = checked_germination_rate(lot);
    CHECK(rate.high - rate.low < before);
    before = rate.high - rate.low;
  }
}

TEST_CASE("few cells, or just those that the counter doubts, stand in its place and correct no others") {
  std::vector<Lot> lots = {photographed_lot("a.jpg", {4, 10}, tray_of({20, 20}, 1))};
  for (std::size_t cell = 0; cell < 10; ++cell) lots[0].readings[0][cell].spread = .2;
  for (const int many : {5, 10}) {
    std::vector<Lot> some = lots;
    std::string csv = "lot,tray,row,col,count\n";
    for (int col = 1; col <= many; ++col) csv += "x,a.jpg,1," + std::to_string(col) + ",1\n";
    std::istringstream in(csv);
    add_checked(some, in, "hand.csv");
    CHECK(some[0].checked.empty());
    CHECK(pooled_gap_rate(some[0].readings).estimate == doctest::Approx((20 - many) / 40.));
    REQUIRE(some[0].remarks.size() == 1);
    CHECK(some[0].remarks[0].find(std::to_string(many) + " cells counted by hand") != std::string::npos);
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

TEST_CASE("a photo may be named without its folder, where that tells which it is") {
  std::vector<Lot> lots = {photographed_lot("bench/a.jpg", {2, 3}, tray_of({1, 5}, 1)),
                           photographed_lot("bench/b.jpg", {2, 3}, tray_of({1, 5}, 1)),
                           photographed_lot("shed/b.jpg", {2, 3}, tray_of({1, 5}, 1))};
  const std::string header = "lot,tray,row,col,count\n";
  CHECK(refusal(lots, header + "x,b.jpg,1,1,1\n") ==
        "hand.csv: tray b.jpg is several of the photos: bench/b.jpg, shed/b.jpg");
  CHECK(refusal(lots, header + "x,shed/b.jpg,1,1,1\n").empty());
  std::istringstream in(header + "x,a.jpg,2,3,0\n");
  add_checked(lots, in, "hand.csv");
  CHECK(lots[0].readings[0][5].by_hand);
}

TEST_CASE("what can't be matched is refused") {
  const std::vector<Lot> lots = {photographed_lot("a.jpg", {2, 3}, tray_of({1, 5}, 1))};
  const std::string header = "lot,tray,row,col,count\n";
  CHECK(refusal(lots, header + "x,c.jpg,1,1,1\n") == "hand.csv: tray c.jpg is none of the photos: a.jpg");
  CHECK(refusal(lots, header + "x,a.jpg,3,1,1\n") ==
        "hand.csv: row 3, column 1 lies outside tray a.jpg of 2 x 3 cells");
  CHECK(refusal(lots, "lot,sown,germinated\nx,3,1\n") ==
        "hand.csv: checked cells need the columns lot,tray,row,col,count");
  CHECK_THROWS_AS(checked_gap_rate(Lot{}), std::invalid_argument);
}
