// SPDX-License-Identifier: Apache-2.0
#include "vision/whole_tray.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace braird;
using namespace braird::vision;

namespace {

Lattice cells(int rows, int cols, double fit, double odd_row_shift = 0) {
  Lattice lattice;
  lattice.rows = rows, lattice.cols = cols;
  lattice.odd_row_shift = odd_row_shift;
  lattice.photo_from_plane = {20, 1, 40, -1, 20, 60, 0, 0, 1};
  lattice.fit = fit;
  return lattice;
}

/// A photo in which each lattice's last row ends with this chance, its other sides surely.
PhotoSenses last_row_ends(double chance) {
  return {.seams_in = [](const Lattice&) { return std::vector<SeamWithin>{}; },
          .ends_of =
              [=](const Lattice&) {
                return std::array<double, 4>{1, 1, chance, 1};
              }};
}

/// A photo in which a tray ends after these rows and another goes on.
PhotoSenses neighbour_after(int rows) {
  return {.seams_in =
              [=](const Lattice& seen) {
                return std::vector<SeamWithin>{{false, rows, rows, seen.rows == rows ? 0.0 : 0.98}};
              },
          .ends_of =
              [=](const Lattice& seen) {
                return std::array<double, 4>{1, 1, seen.rows == rows ? 0.999 : 0, 1};
              }};
}

Sight guess_of(const Lattice& lattice) {
  Sight sight;
  sight.guesses = {lattice};
  sight.trouble = unclear({}, false);
  return sight;
}

void check_same_places(const Lattice& part, int first_row, int first_col, const Lattice& whole) {
  for (int row = 0; row < part.rows; ++row)
    for (int col = 0; col < part.cols; ++col)
      CHECK(cv::norm(cell_centre(part, row, col) - cell_centre(whole, row + first_row, col + first_col)) <
            1e-9);
}

}  // namespace

TEST_CASE("some rows or columns of a lattice stay at their places") {
  for (const double shift : {0.0, 0.5, -0.5}) {
    const Lattice whole = cells(7, 9, 1, shift);
    for (const int first : {0, 1, 2}) {
      check_same_places(part_of(whole, false, first, 4), first, 0, whole);
      check_same_places(part_of(whole, true, first, 5), 0, first, whole);
      check_same_places(part_of(part_of(whole, false, 1, 6), false, first, 3), first + 1, 0, whole);
    }
  }
}

TEST_CASE("a lattice whose ends are seen stays found, and surer; one that may go on doesn't") {
  const Sight found = weighed_by_ends({{cells(8, 16, 0.99)}}, last_row_ends(0.9999));
  REQUIRE(found.lattices.size() == 1);
  CHECK(found.lattices[0].fit > 0.98);
  CHECK_FALSE(found.trouble);
  const Sight hidden = weighed_by_ends({{cells(8, 16, 0.99)}}, last_row_ends(0.01));
  CHECK(hidden.lattices.empty());
  REQUIRE(hidden.trouble);
  CHECK(hidden.trouble->reason == hidden_side(false).reason);
  CHECK(hidden.trouble->blurry);
}

TEST_CASE("a fair guess counts where all ends are seen, and not where one is in doubt") {
  CHECK(weighed_by_ends(guess_of(cells(8, 16, 0.7)), last_row_ends(0.9999)).lattices.size() == 1);
  CHECK(weighed_by_ends(guess_of(cells(8, 16, 0.7)), last_row_ends(0.3)).lattices.empty());
  CHECK(weighed_by_ends(guess_of(cells(8, 16, 0.3)), last_row_ends(0.9999)).lattices.empty());
  // Staggered rows begin and end half a cell apart anyway.
  CHECK(weighed_by_ends({{cells(22, 12, 0.8, 0.5)}}, last_row_ends(0.5)).lattices.empty());
  CHECK(weighed_by_ends({{cells(22, 12, 0.8, 0.5)}}, last_row_ends(0.9999)).lattices.size() == 1);
}

TEST_CASE("a row or two of a neighbour that touches are left out, three are not") {
  const Lattice seen = cells(10, 16, 0.97);
  for (const int rows : {8, 9}) {
    const Sight sight = weighed_by_ends({{seen}}, neighbour_after(rows));
    REQUIRE(sight.lattices.size() == 1);
    CHECK(sight.lattices[0].rows == rows);
    check_same_places(sight.lattices[0], 0, 0, seen);
  }
  CHECK(weighed_by_ends({{seen}}, neighbour_after(7)).lattices.empty());
}

TEST_CASE("staggered rows that reach half a cell too far at both ends are taken back") {
  for (const double shift : {0.5, -0.5}) {
    const Lattice seen = cells(9, 13, 0.97, shift);
    const cv::Rect2d hull = hull_of(seen);
    const PhotoSenses photo{
        .seams_in =
            [](const Lattice& lattice) {
              const double chance = lattice.cols == 13 ? 0.99 : 0;
              return std::vector<SeamWithin>{{true, 0, 1, chance}, {true, 12, 13, chance}, {false, 0, 1, 0}};
            },
        .ends_of = last_row_ends(0.9999).ends_of};
    const Sight sight = weighed_by_ends({{seen}}, photo);
    REQUIRE(sight.lattices.size() == 1);
    const Lattice& found = sight.lattices[0];
    CHECK(found.cols == 12);
    CHECK(found.odd_row_shift == -shift);
    const cv::Rect2d there = hull_of(found);
    CHECK(cv::norm(photo_point(found, there.tl()) - photo_point(seen, hull.tl() + cv::Point2d(0.5, 0))) <
          1e-9);
    CHECK(cv::norm(photo_point(found, there.br()) - photo_point(seen, hull.br() - cv::Point2d(0.5, 0))) <
          1e-9);
  }
}

TEST_CASE("staggered rows stay as they are where lines at their sides weren't asked about") {
  PhotoSenses photo = last_row_ends(0.9999);
  for (const std::vector<SeamWithin>& seams :
       {std::vector<SeamWithin>{}, {{false, 4, 4, 0.01}}, {{true, 6, 6, 0.01}}, {{true, 0, 1, 0.99}}}) {
    photo.seams_in = [&](const Lattice&) { return seams; };
    const Sight sight = weighed_by_ends({{cells(8, 12, 0.97, 0.5)}}, photo);
    CHECK((sight.lattices.empty() ? sight.guesses : sight.lattices).at(0).cols == 12);
  }
}

TEST_CASE("a seam that may run within a lattice makes it less sure") {
  PhotoSenses photo = last_row_ends(0.9999);
  photo.seams_in = [](const Lattice&) { return std::vector<SeamWithin>{{true, 7, 7, 0.1}}; };
  const double with = weighed_by_ends({{cells(8, 16, 0.99)}}, photo).lattices.at(0).fit,
               without = weighed_by_ends({{cells(8, 16, 0.99)}}, last_row_ends(0.9999)).lattices.at(0).fit;
  CHECK(with == doctest::Approx(0.9 * without));
}

TEST_CASE("what was said of seams is kept with the one lattice that it was said of") {
  PhotoSenses photo = last_row_ends(0.9999);
  photo.seams_in = [](const Lattice&) { return std::vector<SeamWithin>{{true, 7, 7, 0.01}}; };
  const Sight one = weighed_by_ends({{cells(8, 16, 0.99)}}, photo);
  REQUIRE(one.seams);
  CHECK((one.seams->size() == 1 && one.seams->front().before == 7));
  CHECK_FALSE(weighed_by_ends({{cells(8, 16, 0.99), cells(8, 15, 0.99)}}, photo).seams);
  CHECK_FALSE(weighed_by_ends(guess_of(cells(8, 16, 0.3)), photo).seams);
}

TEST_CASE("where the maps see no whole tray as stated, the photo may") {
  Sight sight;
  sight.partly = cells(8, 16, 0.97);
  sight.trouble = hidden_side(true);
  CHECK(completed_by_ends(sight, last_row_ends(0.9999)).lattices.size() == 1);
  CHECK(completed_by_ends(sight, last_row_ends(0.01)).lattices.empty());
}

TEST_CASE("a stated tray may go on where no end shows, unless another is known to lie there") {
  const auto beside = [](int there) { return [=](int side) { return side == there; }; };
  CHECK_FALSE(may_go_on(cells(8, 16, 1), beside(-1), last_row_ends(0.01)));
  CHECK(may_go_on(cells(8, 16, 1), beside(-1), last_row_ends(0.001)));
  CHECK(may_go_on(cells(8, 16, 1), beside(0), last_row_ends(0.001)));
  CHECK_FALSE(may_go_on(cells(8, 16, 1), beside(2), last_row_ends(0.001)));
}
