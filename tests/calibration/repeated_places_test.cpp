// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <ctime>
#include <random>
#include <vector>

#include "calibration/findings.h"
#include "tests/times.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("a dry edge jams no hole") {
  std::mt19937 random(6);
  std::uniform_real_distribution<> chance(0, 1);
  const int lots = 40;
  int astray = 0, found_hole = 0;
  for (int lot = 0; lot < lots; ++lot) {
    std::vector<TrayMap> trays(12);
    for (TrayMap& tray : trays) {
      tray.layout = {8, 16};
      for (int row = 0; row < 8; ++row)
        for (int col = 0; col < 16; ++col) {
          const bool edge = row == 0 || col == 0 || row == 7 || col == 15, jammed = row == 3 && col == 4;
          tray.cells.push_back({!jammed && chance(random) < (edge ? .45 : .9) ? 1 : 0, 1});
        }
    }
    const auto found = find_repeated_places(trays);
    const auto is_hole = [](const Finding& one) { return one.cells == std::vector<int>{3 * 16 + 4}; };
    found_hole += std::ranges::any_of(found, is_hole);
    astray += !std::ranges::all_of(found, is_hole);
  }
  CHECK(found_hole == lots);
  CHECK(astray <= .1 * lots);
}

TEST_CASE("thousands of trays with dry edges are looked through in seconds") {
  std::mt19937 random(8);
  std::uniform_real_distribution<> chance(0, 1);
  std::vector<TrayMap> trays(static_cast<std::size_t>(times(2000, 100)));
  for (TrayMap& tray : trays) {
    tray.layout = {8, 16};
    for (int row = 0; row < 8; ++row)
      for (int col = 0; col < 16; ++col) {
        const bool edge = row == 0 || col == 0 || row == 7 || col == 15, jammed = row == 3 && col == 4;
        tray.cells.push_back({!jammed && chance(random) < (edge ? .4 : .95) ? 1 : 0, 1});
      }
  }
  const std::clock_t start = std::clock();
  const auto found = find_repeated_places(trays);
  REQUIRE_FALSE(found.empty());
  CHECK(found[0].cells == std::vector<int>{3 * 16 + 4});
  CHECK(std::clock() - start < 10.0 * CLOCKS_PER_SEC);
}

TEST_CASE("a dry corner or a blocked row jams no hole, but a hole beside them is found") {
  std::mt19937 random(6);
  std::uniform_real_distribution<> chance(0, 1);
  const auto astray = [&](auto fails) {
    const int lots = 40;
    int wrong = 0;
    for (int lot = 0; lot < lots; ++lot) {
      std::vector<TrayMap> trays(6);
      for (TrayMap& tray : trays) {
        tray.layout = {8, 16};
        for (int row = 0; row < 8; ++row)
          for (int col = 0; col < 16; ++col)
            tray.cells.push_back({chance(random) < (fails(row, col) ? fails.up : .95) ? 1 : 0, 1});
        tray.cells[5 * 16 + 9] = {0, 1};
      }
      const auto found = find_repeated_places(trays);
      const auto is_hole = [](const Finding& one) { return one.cells == std::vector<int>{5 * 16 + 9}; };
      CHECK(std::ranges::any_of(found, is_hole));
      wrong += !std::ranges::all_of(found, is_hole);
    }
    return wrong / static_cast<double>(lots);
  };
  struct Corner {
    double up = .35;
    bool operator()(int row, int col) const { return row < 3 && col < 5; }
  };
  struct Row {
    double up = .02;
    bool operator()(int row, int) const { return row == 2; }
  };
  CHECK(astray(Corner{}) <= .1);
  CHECK(astray(Row{}) <= .1);
}
