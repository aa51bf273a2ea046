// SPDX-License-Identifier: Apache-2.0
#include "calibration/findings.h"

#include <algorithm>
#include <ctime>
#include <random>
#include <stdexcept>
#include <string_view>

#include "drawn_trays.h"
#include "near.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("a dry edge") {
  const auto found = find_patterns(drawn_tray({".#..#.#..#", "##########", ".#########", "##########",
                                               ".########.", "##########", "#########.", ".##.#.##.#"}));
  REQUIRE_FALSE(found.empty());
  CHECK(found[0].kind == FindingKind::edge);
  CHECK(found[0].sentence ==
        "The edge has 44 % gaps (14 of 32), the rest 0 %: edges dry out and cool first; check the "
        "watering and the cover there.");
  CHECK(found[0].p_adjusted < .05);
  CHECK(found[0].p_adjusted > found[0].p_value);
  CHECK(found[0].difference->low > 0);
  CHECK(found[0].cells.size() == 32);
}

TEST_CASE("a middle that suffers") {
  const auto found =
      find_patterns(drawn_tray({"########", "#..##.##", "#.#.#..#", "##..#..#", "#.##..##", "########"}));
  REQUIRE_FALSE(found.empty());
  CHECK(found[0].kind == FindingKind::edge);
  CHECK(found[0].sentence.find("the middle suffers") != std::string::npos);
}

TEST_CASE("a jammed sower hole leaves a column, a poor line a row") {
  const auto column = find_patterns(drawn_tray({"###.######", "###.######", "##########", "###.####.#",
                                                "###.######", "###.######", "#.#.######", "###.######"}));
  REQUIRE(column.size() == 1);
  CHECK(column[0].kind == FindingKind::column);
  CHECK(column[0].place == "column 4");
  CHECK(column[0].sentence ==
        "Column 4 has 88 % gaps (7 of 8), the rest 2.8 %: check the sower's hole or line for this column.");
  TrayMap tray =
      drawn_tray({"##########", "##########", "#.....#..#", "##########", "#####.####", "##########"});
  tray.first_number = 0;
  CHECK(find_patterns(tray)[0].place == "row 2");
}

TEST_CASE("an outermost line that is partly empty may be a dry side as well as the sower's") {
  const auto side =
      find_patterns(drawn_tray({".###########", "############", ".###########", ".###########",
                                "#######.####", ".###########", ".###########", "############"}));
  REQUIRE(side.size() == 1);
  CHECK(side[0].may_be_dry_side);
  CHECK(
      side[0].sentence ==
      "Column 1 has 62 % gaps (5 of 8), the rest 1.1 %: a side may dry out first: check the watering there, "
      "and the sower's hole or line.");
  const auto within =
      find_patterns(drawn_tray({"#.##########", "############", "#.##########", "#.##########",
                                "#######.####", "#.##########", "#.##########", "############"}));
  REQUIRE(within.size() == 1);
  CHECK_FALSE(within[0].may_be_dry_side);
}

TEST_CASE("an outermost line of a photo that is all empty: the lattice is the suspect") {
  TrayMap tray = drawn_tray({"########", "#.######", "########", "########", "#####.##", "........"});
  CHECK(find_patterns(tray)[0].sentence.find("lattice") == std::string::npos);
  tray.from_photo = true;
  CHECK(find_patterns(tray)[0].sentence ==
        "Row 6 has 100 % gaps (8 of 8), the rest 5.0 %: check in the marked photo that "
        "the lattice has not crept off the tray, then the sower.");
}

TEST_CASE("a cold corner") {
  const auto found = find_patterns(
      drawn_tray({"############", "############", "############", "############", "############",
                  "############", "########.#.#", "########.##.", "#########.#."}));
  REQUIRE_FALSE(found.empty());
  CHECK(found[0].kind == FindingKind::corner);
  CHECK(
      found[0].sentence.starts_with("The corner of the last rows and last columns has 50 % gaps (6 of 12)"));
}

TEST_CASE("a clump that is no row, column, edge or corner") {
  const auto found = find_patterns(
      drawn_tray({"############", "############", "####..######", "###....#####", "####...#####",
                  "#####.######", "############", "#.##########", "############", "############"}));
  REQUIRE_FALSE(found.empty());
  CHECK(found[0].kind == FindingKind::clump);
  CHECK(found[0].sentence.starts_with("Gaps lie together: "));
}

TEST_CASE("a sower that ran empty across the end of a row") {
  const auto found =
      find_patterns(drawn_tray({"##########", "##########", "##########", "########..", "..########",
                                "##########", "##########", "##########", "##########", "##########"}));
  REQUIRE(found.size() == 1);
  CHECK(found[0].kind == FindingKind::run);
  CHECK(found[0].sentence ==
        "4 gaps in a row from row 4, column 9 on: check whether the sower ran empty or stuck there.");
}

TEST_CASE("full, empty, tiny and unsown trays have no pattern") {
  for (const auto& tray : {drawn_tray({"####", "####"}), drawn_tray({"....", "...."}), drawn_tray({".#"}),
                           drawn_tray({"#"}), drawn_tray({"#. ", " .#"}), drawn_tray({"    "})})
    CHECK(find_patterns(tray).empty());
}

TEST_CASE("trays in which next to nothing came up are looked through like others") {
  std::mt19937 random(2);
  for (int cols = 2; cols <= 16; ++cols)
    for (int up = 1; up <= 4; ++up) {
      const Layout layout{4, cols};
      for (const Finding& one : find_patterns(shuffled_tray(layout, 4 * cols - up, random)))
        CHECK(one.p_adjusted <= 0.05);
    }
}

TEST_CASE("simulation: trays whose gaps lie anywhere show a finding in at most 5 % of cases") {
  std::mt19937 random(17);
  for (const Layout layout : {Layout{8, 13}, Layout{22, 12, LatticeKind::staggered}})
    for (const double share : {.03, .1, .3}) {
      const int trays = 800;
      int surprised = 0;
      const int gaps = static_cast<int>(share * layout.rows * layout.cols);
      for (int run = 0; run < trays; ++run)
        surprised += !find_patterns(shuffled_tray(layout, gaps, random)).empty();
      CAPTURE(share);
      CAPTURE(layout.rows);
      CHECK(surprised <= .065 * trays);  // 5 % and two standard errors of the simulation
    }
}

TEST_CASE("trays of several shapes are asked shape by shape, whichever comes first") {
  std::mt19937 random(4);
  std::vector<TrayMap> trays = {shuffled_tray({6, 12}, 8, random)};
  for (int run = 0; run < 6; ++run) {
    trays.push_back(shuffled_tray({8, 13}, 8, random));
    trays.back().cells[2 * 13 + 6] = {0, 1};
  }
  for (int turn = 0; turn < 2; ++turn) {
    const auto found = find_repeated_places(trays);
    REQUIRE(found.size() == 1);
    CHECK(found[0].place == "row 3, column 7 (of 8 × 13 cells)");
    CHECK(found[0].layout == Layout{8, 13});
    std::ranges::reverse(trays);
  }
}

TEST_CASE("a jammed plate hole: the same place empty in tray after tray") {
  std::mt19937 random(4);
  std::vector<TrayMap> trays;
  for (int run = 0; run < 6; ++run) {
    trays.push_back(shuffled_tray({8, 13}, 8, random));
    trays.back().cells[2 * 13 + 6] = {0, 1};
  }
  const auto found = find_repeated_places(trays);
  REQUIRE(found.size() == 1);
  CHECK(found[0].place == "row 3, column 7");
  CHECK(found[0].sentence.starts_with(
      "Row 3, column 7 stayed empty in 6 of 6 trays, where about 0.5 would by chance"));
}

TEST_CASE("simulation: places are found by chance in few lots; two jammed holes are both found") {
  std::mt19937 random(9);
  int surprised = 0, found_both = 0;
  const int lots = 200;
  for (int lot = 0; lot < lots; ++lot) {
    std::vector<TrayMap> trays;
    for (int run = 0; run < 8; ++run) trays.push_back(shuffled_tray({8, 13}, 12, random));
    surprised += !find_repeated_places(trays).empty();
    for (TrayMap& tray : trays) tray.cells[5] = tray.cells[70] = {0, 1};
    found_both += find_repeated_places(trays).size() >= 2;
  }
  CHECK(surprised <= .08 * lots);
  CHECK(found_both >=
        .98 * lots);  // both lie in one column, which is at fault itself where more gaps join them
}

TEST_CASE("one tray, or trays of another shape, repeat nothing") {
  const TrayMap tray = drawn_tray({".###", "####"});
  CHECK(find_repeated_places(std::vector<TrayMap>{tray}).empty());
  CHECK(find_repeated_places(std::vector<TrayMap>{tray, drawn_tray({".#", "##"})}).empty());
}

TEST_CASE("a table of ten thousands of cells is looked through in seconds") {
  std::mt19937 random(12);
  std::uniform_real_distribution<> chance(0, 1);
  std::vector<TrayMap> trays(2);
  for (TrayMap& tray : trays) {
    tray.layout = {200, 200};
    for (int row = 0; row < 200; ++row)
      for (int col = 0; col < 200; ++col) {
        const bool is_edge = row == 0 || col == 0 || row == 199 || col == 199;
        const bool is_dry = row >= 40 && row < 60 && col >= 80 && col < 100, is_blocked = row % 50 == 30;
        tray.cells.push_back({!is_blocked && chance(random) < (is_edge || is_dry ? .5 : .9) ? 1 : 0, 1});
      }
  }
  const std::clock_t start = std::clock();
  const auto found = find_patterns(trays[0]);
  REQUIRE(found.size() >= 5);
  CHECK(std::ranges::count(found, FindingKind::row, &Finding::kind) == 4);
  CHECK(std::ranges::count(found, FindingKind::edge, &Finding::kind) == 1);
  find_repeated_places(trays);
  CHECK(std::clock() - start < 20.0 * CLOCKS_PER_SEC);
}

TEST_CASE("findings refuse nonsense") {
  TrayMap tray = drawn_tray({"#.", "##"});
  CHECK_THROWS_AS(find_patterns(tray, 0), std::invalid_argument);
  CHECK_THROWS_AS(find_repeated_places(std::vector<TrayMap>{tray}, 1), std::invalid_argument);
  tray.layout.rows = 3;
  CHECK_THROWS_WITH_AS(find_patterns(tray), "number of cells is 4, but must be 3 × 2", std::invalid_argument);
  Tray counted;
  counted.layout = {2, 2};
  CHECK_THROWS_AS(tray_map(counted, 1, "A"), std::invalid_argument);
}
