// SPDX-License-Identifier: Apache-2.0
#include "vision/like_trays.h"

#include <doctest/doctest.h>

using namespace braird;
using namespace braird::vision;

namespace {

Lattice laid_out(int rows, int cols, double shift = 0, double pitch = 30) {
  Lattice lattice;
  lattice.rows = rows, lattice.cols = cols, lattice.odd_row_shift = shift;
  lattice.photo_from_plane = {pitch, 0, 100, 0, pitch, 100, 0, 0, 1};
  return lattice;
}

}  // namespace

TEST_CASE("of lattices with the same cells the surest is kept, in its place") {
  Lattice sure = laid_out(8, 16), unsure = sure, beside = sure;
  sure.fit = 0.99, unsure.fit = 0.9, beside.fit = 0.95;
  beside.photo_from_plane(0, 2) += 16 * 30;
  for (const auto& lattices : {std::vector{unsure, beside, sure}, std::vector{sure, beside, unsure}}) {
    const auto kept = each_once(lattices);
    REQUIRE(kept.size() == 2);
    CHECK(kept[0].fit == 0.99);
    CHECK(kept[1].fit == 0.95);
  }
  CHECK(each_once({laid_out(20, 10), laid_out(18, 10)}).size() == 2);  // which is right is asked elsewhere
}

TEST_CASE("trays of one make that differ by a row or two are at odds, however each of them lies") {
  CHECK(at_odds({laid_out(20, 10), laid_out(18, 10)}) == std::pair<std::size_t, std::size_t>(0, 1));
  CHECK(at_odds({laid_out(20, 10), laid_out(10, 19)}));
  CHECK(at_odds({laid_out(8, 16), laid_out(22, 12, 0.5), laid_out(22, 11, -0.5)}) ==
        std::pair<std::size_t, std::size_t>(1, 2));
}

TEST_CASE("equal trays, and trays of different makes, are not at odds") {
  CHECK_FALSE(at_odds({}));
  CHECK_FALSE(at_odds({laid_out(20, 10), laid_out(20, 10)}));
  CHECK_FALSE(at_odds({laid_out(20, 10), laid_out(10, 20)}));
  CHECK_FALSE(at_odds({laid_out(6, 12), laid_out(8, 16)}));
  CHECK_FALSE(at_odds({laid_out(20, 10), laid_out(16, 10)}));
  CHECK_FALSE(at_odds({laid_out(20, 10), laid_out(18, 10, 0.5)}));
  CHECK_FALSE(at_odds({laid_out(20, 10), laid_out(18, 10, 0, 40)}));
}

TEST_CASE("a tray that is another one, two or three times over, is several that touch") {
  CHECK(several_in_one({laid_out(4, 20), laid_out(4, 10)}) == std::pair<std::size_t, std::size_t>(0, 1));
  CHECK(several_in_one({laid_out(8, 16), laid_out(16, 24)}) == std::pair<std::size_t, std::size_t>(1, 0));
  CHECK(several_in_one({laid_out(22, 12, 0.5), laid_out(22, 24, -0.5)}));
  CHECK(several_in_one({laid_out(15, 14), laid_out(15, 7, 0, 34.5)}));  // one is nearer
}

TEST_CASE("long or staggered cells that make listed trays are several; others are one") {
  const std::vector<Layout> known{{6, 12}, {8, 16}};
  CHECK(several_of_a_make({6, 24}, known));
  CHECK(several_of_a_make({24, 6}, known));
  CHECK(several_of_a_make({12, 36, LatticeKind::square}, {{12, 12}}));
  CHECK(several_of_a_make({6, 24}, {}));
  CHECK(several_of_a_make({42, 7}, {}));
  CHECK_FALSE(several_of_a_make({6, 20}, {}));
  CHECK_FALSE(several_of_a_make({3, 40}, {}));
  CHECK_FALSE(several_of_a_make({5, 23}, {}));
  CHECK_FALSE(several_of_a_make({6, 24}, {{6, 12}, {6, 24}}));
  CHECK_FALSE(several_of_a_make({12, 12}, known));
  CHECK_FALSE(several_of_a_make({3, 40}, known));
  CHECK_FALSE(several_of_a_make({6, 24, LatticeKind::staggered}, known));
  const std::vector<Layout> paper{{22, 12, LatticeKind::staggered}};
  CHECK(several_of_a_make({22, 24, LatticeKind::staggered}, paper));
  CHECK(several_of_a_make({22, 25, LatticeKind::staggered}, paper));
  CHECK(several_of_a_make({45, 12, LatticeKind::staggered}, paper));
  CHECK_FALSE(several_of_a_make({22, 26, LatticeKind::staggered}, paper));
  CHECK_FALSE(several_of_a_make({22, 12, LatticeKind::staggered}, paper));
  CHECK_FALSE(several_of_a_make({22, 25}, paper));
}

TEST_CASE("trays of the same size, of other pitches or proportions are each one tray") {
  CHECK_FALSE(several_in_one({laid_out(4, 10), laid_out(4, 10)}));
  CHECK_FALSE(several_in_one({laid_out(4, 20), laid_out(4, 10, 0, 40)}));
  CHECK_FALSE(several_in_one({laid_out(8, 16), laid_out(6, 12)}));
  CHECK_FALSE(several_in_one({laid_out(4, 40), laid_out(4, 10)}));
}

TEST_CASE("a tray goes on in one that is butted against it, on that side alone") {
  const Lattice tray = laid_out(8, 16);
  const cv::Point2d beside[] = {{0, -8}, {16, 0}, {0, 8}, {-16, 0}};  // in cells, by side
  for (int side = 0; side < 4; ++side) {
    Lattice other = tray;
    other.photo_from_plane =
        tray.photo_from_plane * cv::Matx33d(1, 0, beside[side].x, 0, 1, beside[side].y, 0, 0, 1);
    for (int asked = 0; asked < 4; ++asked) CHECK(goes_on_in(tray, asked, other) == (asked == side));
    other.rows = 6;  // its cells no longer stand beside all of an upright side
    if (side % 2 == 1) CHECK_FALSE(goes_on_in(tray, side, other));
  }
  CHECK_FALSE(goes_on_in(tray, 1, laid_out(8, 16)));
}
