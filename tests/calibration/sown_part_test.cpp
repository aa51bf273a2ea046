// SPDX-License-Identifier: Apache-2.0
#include "calibration/sown_part.h"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace braird;

namespace {

/// One string a row: '.' an empty cell, a digit what stands in it.
Tray drawn(const std::vector<std::string>& rows) {
  Tray tray;
  tray.layout = {static_cast<int>(rows.size()), static_cast<int>(rows[0].size()), LatticeKind::square};
  for (int row = 0; row < tray.layout.rows; ++row)
    for (int col = 0; col < tray.layout.cols; ++col) {
      const char mark = rows[static_cast<std::size_t>(row)][static_cast<std::size_t>(col)];
      tray.cells.push_back({row, col, {}, mark == '.' ? 0 : mark - '0', {}, false});
    }
  return tray;
}

}  // namespace

TEST_CASE("the lines from a side on that hold nothing are left out of the sown part") {
  const auto part = sown_part(drawn({"1121.....", "12.11....", "11111....", "1.111...."}));
  REQUIRE(part);
  CHECK(part->first_row == 0);
  CHECK(part->last_row == 3);
  CHECK(part->first_col == 0);
  CHECK(part->last_col == 4);
}

TEST_CASE("the sown part may lie in a corner, and a weed in eight cells makes no line sown") {
  const auto part =
      sown_part(drawn({"........", "...1....", "....11.1", "...11111", "....1111", "....1111"}));
  REQUIRE(part);
  CHECK(part->first_row == 2);
  CHECK(part->last_row == 5);
  CHECK(part->first_col == 3);
  CHECK(part->last_col == 7);
}

TEST_CASE("one bare line may be a blocked hole, bare lines within a jam: they are no unsown part") {
  CHECK_FALSE(sown_part(drawn({"11111.", "11111.", "1.111.", "11111."})));
  CHECK_FALSE(sown_part(drawn({"11..11", "11..11", "1...11", "11..11"})));
}

TEST_CASE("where little has come up anywhere, bare lines tell nothing") {
  CHECK_FALSE(sown_part(drawn({"......", "1.....", "..1...", "1....."})));
  CHECK_FALSE(sown_part(drawn({"1...", ".1..", "1...", ".1.."})));  // the rest may well be chance
  CHECK_FALSE(sown_part(drawn({"....", "....", "...."})));
}

TEST_CASE("a tray that is full is all sown, and a single line is no part to count alone") {
  CHECK_FALSE(sown_part(drawn({"1111", "1111", "1111"})));
  CHECK_FALSE(sown_part(drawn({"111111111", ".........", "........."})));
}
