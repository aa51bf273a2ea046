// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include "calibration/checked_cells.h"
#include "calibration/rates.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

// Trays of 30 empty and 70 full cells by the photo, which owns up to `off` a cell.
Lot lot_of_trays(std::size_t trays, double off) {
  Lot lot;
  for (std::size_t tray = 0; tray < trays; ++tray) {
    lot.readings.push_back(cell_readings(tray_of({30, 70}, 1)));
    for (CellReading& cell : lot.readings.back()) cell.off = off;
  }
  return lot;
}

double width(const Estimate& rate) {
  return rate.high - rate.low;
}

}  // namespace

TEST_CASE("checks in one tray take no doubt off a lot's other trays, and move none of them") {
  Lot lot = lot_of_trays(4, .1);
  const Estimate plain = pooled_germination_rate(lot.readings);
  for (std::size_t cell = 0; cell < 60; ++cell) lot.checked.push_back({0, cell, cell < 30 ? 0 : 1});
  CHECK(checked_germination_rate(lot).estimate == doctest::Approx(plain.estimate));
  CHECK(width(checked_germination_rate(lot)) > .75 * width(plain));
  CHECK(width(checked_gap_rate(lot)) > .75 * width(pooled_gap_rate(lot.readings)));
  // Thirty overlooked in the first tray set right that tray alone, and all trays are trusted less.
  lot = lot_of_trays(4, .02);
  const Estimate trusted = pooled_germination_rate(lot.readings);
  for (std::size_t cell = 0; cell < 60; ++cell) lot.checked.push_back({0, cell, 1});
  const Estimate caught = checked_germination_rate(lot);
  CHECK(caught.estimate > trusted.estimate + .9 * 30 / 400);
  CHECK(caught.estimate < trusted.estimate + 1.1 * 30 / 400);
  CHECK(width(caught) > width(trusted));
}

TEST_CASE("a few checks in each tray of a lot tell of all its trays together") {
  Lot lot = lot_of_trays(4, .1);
  const Estimate plain = pooled_germination_rate(lot.readings);
  for (std::size_t at = 0; at < 28; ++at) lot.checked.push_back({at % 4, 27 + at / 4, at / 4 < 3 ? 0 : 1});
  CHECK(checked_germination_rate(lot).estimate == doctest::Approx(plain.estimate));
  CHECK(width(checked_germination_rate(lot)) < .5 * width(plain));
  for (CheckedPlace& place : lot.checked) place.seedlings = 1;
  CHECK(checked_germination_rate(lot).estimate > plain.estimate + .1);
}

TEST_CASE("checks in each tray of a lot are drawn anew in each: together they leave less doubt than in one") {
  Lot lot = lot_of_trays(9, .1);
  for (std::size_t tray = 0; tray < 9; ++tray)
    for (std::size_t cell = 15; cell < 45; ++cell) lot.checked.push_back({tray, cell, cell < 30 ? 0 : 1});
  const Lot by_hand = lot_of_trays(9, 0);
  CHECK(width(checked_germination_rate(lot)) < 1.6 * width(pooled_germination_rate(by_hand.readings)));
  CHECK(width(checked_germination_rate(lot)) > width(pooled_germination_rate(by_hand.readings)));
  // One tray's checks leave as much as they did before.
  Lot one = lot_of_trays(1, .1);
  for (std::size_t cell = 15; cell < 45; ++cell) one.checked.push_back({0, cell, cell < 30 ? 0 : 1});
  CHECK(width(checked_germination_rate(one)) > 2 * width(checked_germination_rate(lot)));
}
