// SPDX-License-Identifier: Apache-2.0
#include "calibration/missed_cells.h"

#include <algorithm>
#include <stdexcept>

#include "near.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("closed form: two seeds a cell, 14, 28 and 58 of 100 cells") {
  // p = 2r / (1 + 2r) with r = 58 / 28; missed = 1 − (86 / 100) / (1 − (1 − p)²).
  const MissedCellsFit fit = fit_missed_cells(tray_of({14, 28, 58}, 2));
  CHECK_PRINTS(fit.germination, .805556, 6);
  CHECK_PRINTS(fit.missed, .106207, 6);
  CHECK_PRINTS(fit.log_likelihood, -94.7628, 4);
  CHECK_PRINTS(fit.excess, 8.8395, 4);
  CHECK_PRINTS(fit.p_value, .00147, 5);
}

TEST_CASE("identity: with two seeds missed cells and a shared fate fit equally well") {
  const auto tray = tray_of({14, 28, 58}, 2);
  CHECK(fit_missed_cells(tray).log_likelihood == doctest::Approx(fit_beta_binomial(tray).log_likelihood));
}

TEST_CASE("push a known miss rate through the sower and ask for it back") {
  std::mt19937 random(5);
  auto tray = joined(grown_tray(8000, 4, .8, 0, random), grown_tray(2000, 2, .8, 0, random));
  for (std::size_t at = 0; at < tray.size(); at += 20) tray[at].seedlings = 0;
  const MissedCellsFit fit = fit_missed_cells(tray);
  CHECK_WITHIN(fit.missed, .05, .003);  // gaps of cells that were sown: 93, with a standard deviation of 9.6
  CHECK(fit.germination == doctest::Approx(.8).epsilon(.01));
  CHECK(fit.p_value < 1e-6);
}

TEST_CASE("cells that are full or empty were missed, or came up whole") {
  const MissedCellsFit fit = fit_missed_cells(tray_of({5, 0, 0, 95}, 3));
  CHECK(fit.missed == doctest::Approx(.05));
  CHECK(fit.germination == doctest::Approx(1));
}

TEST_CASE("cells that are all full or empty, whatever their number, round to no rate beyond 1") {
  for (int empty = 1; empty < 60; ++empty)
    for (int full = 1; full < 60; full += 7)
      for (const int seeds : {2, 3, 4, 7}) {
        auto tray = tray_of({empty}, seeds);
        tray.insert(tray.end(), static_cast<std::size_t>(full), CellCount{seeds, seeds});
        const MissedCellsFit fit = fit_missed_cells(tray);
        CHECK(fit.germination <= 1);
        CHECK(fit.missed <= 1);
      }
}

TEST_CASE("no missed cells where the gaps are explained, with one seed, or with nothing up") {
  for (const auto& tray :
       {tray_of({4, 32, 64}, 2), tray_of({10, 90}, 1), tray_of({30}, 4), tray_of({0, 5, 95}, 2)}) {
    const MissedCellsFit fit = fit_missed_cells(tray);
    CHECK(fit.missed < 1e-4);
    CHECK(fit.p_value > .4);
  }
}

TEST_CASE("missed cells refuse nonsense") {
  CHECK_THROWS_AS(fit_missed_cells(tray_of({1, 1, 1}, 1)), std::invalid_argument);
  CHECK_THROWS_AS(fit_missed_cells(std::vector<CellCount>{}), std::invalid_argument);
}
