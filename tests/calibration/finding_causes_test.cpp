// SPDX-License-Identifier: Apache-2.0
// Each cause is found once: edges, lines and patches that cross each other.
#include <algorithm>
#include <random>
#include <string>

#include "calibration/findings.h"
#include "drawn_trays.h"
#include "near.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

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
