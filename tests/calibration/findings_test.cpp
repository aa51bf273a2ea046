// SPDX-License-Identifier: Apache-2.0
#include "calibration/findings.h"

#include <algorithm>
#include <ctime>
#include <random>
#include <stdexcept>
#include <string_view>

#include "near.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

// A tray drawn row by row: '#' came up, '.' is a gap, ' ' was not sown.
TrayMap drawn_tray(std::initializer_list<std::string_view> rows) {
  TrayMap tray;
  tray.layout = {static_cast<int>(rows.size()), static_cast<int>(rows.begin()->size())};
  for (const std::string_view row : rows)
    for (const char cell : row) tray.cells.push_back({cell == '#' ? 1 : 0, cell == ' ' ? 0 : 1});
  return tray;
}

template <typename Random>
TrayMap shuffled_tray(Layout layout, int gaps, Random& random) {
  TrayMap tray;
  tray.layout = layout;
  tray.cells = tray_of({gaps, layout.rows * layout.cols - gaps}, 1);
  std::ranges::shuffle(tray.cells, random);
  return tray;
}

}  // namespace

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

TEST_CASE("each cause once: a dry edge is not laid to its rows, nor a blocked row to the edge") {
  std::mt19937 random(5);
  std::uniform_real_distribution<> chance(0, 1);
  const int trays = 200;
  const auto shares = [&](FindingKind right, FindingKind wrong, auto fails) {
    int hit = 0, astray = 0;
    for (int run = 0; run < trays; ++run) {
      TrayMap tray;
      tray.layout = {8, 16};
      for (int row = 0; row < 8; ++row)
        for (int col = 0; col < 16; ++col)
          tray.cells.push_back({chance(random) < .9 * (1 - fails(row, col)) ? 1 : 0, 1});
      const auto found = find_patterns(tray);
      const auto has = [&](FindingKind kind) {
        return std::ranges::any_of(found, [&](const Finding& one) { return one.kind == kind; });
      };
      hit += has(right);
      astray += has(wrong);
    }
    CHECK(hit >= .95 * trays);
    CHECK(astray <= .03 * trays);
  };
  shares(FindingKind::edge, FindingKind::row,
         [](int row, int col) { return row == 0 || col == 0 || row == 7 || col == 15 ? .5 : 0.; });
  shares(FindingKind::row, FindingKind::edge, [](int row, int) { return row == 0 ? 1. : 0.; });
}

TEST_CASE("a dry patch is laid to none of the rows and columns that cross it, a blocked row to no patch") {
  const auto patch = find_patterns(
      drawn_tray({"############", "############", "####..######", "###....#####", "####...#####",
                  "#####.######", "############", "#.##########", "############", "############"}));
  REQUIRE(patch.size() == 1);
  CHECK(patch[0].kind == FindingKind::clump);
  CHECK(patch[0].place == "rows 3 to 6, columns 4 to 7");
  CHECK(patch[0].cells.size() == 16);
  CHECK(patch[0].sentence.ends_with("10 of the 11 gaps lie in rows 3 to 6, columns 4 to 7."));
  // The sower ran empty for a row and a piece of the next: two rows, no corner.
  const auto ran_empty =
      find_patterns(drawn_tray({"..........", "....######", "##########", "##########", "##########",
                                "##########", "##########", "##########", "##########", "##########"}));
  REQUIRE(ran_empty.size() == 2);
  CHECK(ran_empty[0].place == "row 1");
  CHECK(ran_empty[1].place == "row 2");
  const auto two_holes =
      find_patterns(drawn_tray({"##..#######", "##..#######", "##..####.##", "##..#######", "##..#######",
                                "##..#######", "#...#######", "##..#######"}));
  REQUIRE(two_holes.size() == 2);
  CHECK(two_holes[0].place == "column 3");
  CHECK(two_holes[1].place == "column 4");

  std::mt19937 random(11);
  std::uniform_real_distribution<> chance(0, 1);
  std::uniform_int_distribution<> any_row(0, 21), any_col(0, 11);
  int lines = 0, patches = 0, rows = 0, with_row = 0;
  const int trays = 200;
  for (int run = 0; run < trays; ++run) {
    const int row = any_row(random), col = any_col(random);
    for (const bool is_blocked : {false, true}) {
      TrayMap tray;
      tray.layout = {22, 12, LatticeKind::staggered};
      for (int r = 0; r < 22; ++r)
        for (int c = 0; c < 12; ++c) {
          const bool is_dry = (r - row) * (r - row) + (c - col) * (c - col) <= 9;
          const bool is_up = chance(random) < (is_dry ? .2 : .95) && !(is_blocked && r == 13);
          tray.cells.push_back({is_up ? 1 : 0, 1});
        }
      for (const Finding& one : find_patterns(tray)) {
        const bool is_line = one.kind == FindingKind::row || one.kind == FindingKind::column;
        if (!is_blocked) lines += is_line, patches += !is_line;
        if (is_blocked) rows += is_line, with_row += one.place == "row 14";
      }
    }
  }
  CHECK(lines <= .03 * trays);
  CHECK(patches >= .95 * trays);
  CHECK(with_row >= .95 * trays);
  CHECK(rows <= 1.05 * trays);
}

TEST_CASE(
    "simulation: a blocked column is named though a dry patch crosses it, and none where only the patch is") {
  std::mt19937 random(23);
  std::uniform_real_distribution<> chance(0, 1);
  std::uniform_int_distribution<> any_row(0, 7), any_col(0, 15);
  const int trays = 300;
  int named = 0, astray = 0;
  for (int run = 0; run < trays; ++run) {
    const int row = any_row(random), col = any_col(random), blocked = any_col(random);
    for (const bool is_blocked : {false, true}) {
      TrayMap tray;
      tray.layout = {8, 16};
      for (int r = 0; r < 8; ++r)
        for (int c = 0; c < 16; ++c) {
          const bool is_dry = (r - row) * (r - row) + (c - col) * (c - col) <= 9;
          const bool is_up = chance(random) < (is_dry ? .085 : .85) && !(is_blocked && c == blocked);
          tray.cells.push_back({is_up ? 1 : 0, 1});
        }
      const auto found = find_patterns(tray);
      const auto is_line = [](const Finding& one) {
        return one.kind == FindingKind::row || one.kind == FindingKind::column;
      };
      if (!is_blocked) astray += std::ranges::any_of(found, is_line);
      if (is_blocked)
        named += std::ranges::any_of(found, [&](const Finding& one) {
          return is_line(one) && one.place == "column " + std::to_string(blocked + 1);
        });
    }
  }
  MESSAGE("named in ", named, ", another where only a patch is in ", astray, " of ", trays);
  CHECK(named >= .87 * trays);
  CHECK(astray <= .06 * trays);
}

TEST_CASE("a blocked column at the side of a tray whose edge is dry: both are found") {
  const auto found =
      find_patterns(drawn_tray({".#..##.#.###", ".##########.", ".##########.", ".##########.",
                                ".###########", ".##########.", ".##########.", ".#..#.##.#.#"}));
  REQUIRE(found.size() == 2);
  CHECK(found[0].kind == FindingKind::edge);
  CHECK(found[1].sentence ==
        "Column 1 has 100 % gaps (8 of 8), the rest of the edge 50 %: check the sower's hole or line for "
        "this column.");
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
