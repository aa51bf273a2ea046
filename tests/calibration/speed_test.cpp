// SPDX-License-Identifier: Apache-2.0
// 10,000 trays in at most 2 s on one core (an optimised build); a tenth of them, with room for a busy
// machine, is the test.
#include <doctest/doctest.h>

#include <chrono>

#include "calibration/lot_report.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

std::vector<Lot> lots_of_one_tray(int many) {
  std::mt19937 random(8);
  std::vector<Lot> lots;
  for (int at = 0; at < many; ++at) {
    Lot lot;
    TrayMap map;
    map.layout = {22, 12, LatticeKind::staggered};
    map.cells = grown_tray(264, 4, .85, .05, random);
    lot.readings.push_back(cell_readings(map.cells));
    lot.trays.push_back(std::move(map));
    lots.push_back(std::move(lot));
  }
  return lots;
}

}  // namespace

TEST_CASE("a thousand trays are summarised in well under a fifth of a second") {
  const auto lots = lots_of_one_tray(1000);
  const auto start = std::chrono::steady_clock::now();
  double seedlings = 0;
  for (const Lot& lot : lots) seedlings += report_on(lot).seedlings;
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  MESSAGE("1,000 trays of 264 cells: ", took.count(), " s");
  CHECK(seedlings == doctest::Approx(1000 * 264 * 4 * .85).epsilon(.01));
#if defined(NDEBUG) && !defined(__SANITIZE_ADDRESS__)
  CHECK(took.count() < .4);
#endif
}
