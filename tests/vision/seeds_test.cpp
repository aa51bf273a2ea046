// SPDX-License-Identifier: Apache-2.0
#include "vision/seeds.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "tests/vision/small_tray.h"
#include "vision/alike.h"
#include "vision/cell_chances.h"
#include "vision/seeds_told.h"

using namespace braird;
using namespace braird::vision;

namespace {

/// Medium that shows the lattice whole.
cv::Mat bare_medium(const Lattice& lattice) {
  return {60 * lattice.rows + 100, 900, CV_8UC3, cv::Scalar(40, 52, 66)};
}

/// Grainy medium; in two of three cells a seed of this colour lies, with its shadow.
cv::Mat drawn_seeds(const Lattice& lattice, const cv::Scalar& colour) {
  cv::Mat photo = bare_medium(lattice), grain(photo.size(), CV_8UC3);
  cv::RNG(7).fill(grain, cv::RNG::UNIFORM, 0, 30);
  cv::GaussianBlur(grain, grain, {}, 1);
  photo += grain;
  for (int cell = 0; cell < lattice.rows * lattice.cols; ++cell) {
    if (cell % 3 == 0) continue;
    const cv::Point2d at = cell_centre(lattice, cell / lattice.cols, cell % lattice.cols);
    cv::circle(photo, at + cv::Point2d(2, 2), 5, cv::Scalar(20, 25, 30), -1, cv::LINE_AA);
    cv::circle(photo, at, 5, colour, -1, cv::LINE_AA);
  }
  cv::GaussianBlur(photo, photo, {}, 0.8);
  return photo;
}

}  // namespace

TEST_CASE("seeds that stand out are counted, in whatever colour, on trays of few cells and of many") {
  Hints hints;
  hints.counted = Counted::seeds;
  hints.seeds_per_cell = 1;
  for (const int rows : {10, 18}) {
    const Lattice lattice = small_tray(0, rows);
    const int cells = 12 * rows;
    for (const cv::Scalar& colour :
         {cv::Scalar(90, 210, 235), cv::Scalar(225, 232, 235), cv::Scalar(60, 60, 205)}) {
      CAPTURE(rows);
      CAPTURE(colour[0]);
      const auto [chances, alike] = see_seeds(drawn_seeds(lattice, colour), lattice, hints);
      REQUIRE(chances.size() == cells);
      int right = 0;
      for (int cell = 0; cell < cells; ++cell) right += count_of(chances[cell]) == (cell % 3 == 0 ? 0 : 1);
      CHECK(right >= 14 * cells / 15);
      CHECK(alike < 0.5);
    }
  }
}

TEST_CASE("large trays are looked at again, more closely, where the first look leaves too much in doubt") {
  Hints hints;
  hints.counted = Counted::seeds;
  hints.seeds_per_cell = 1;
  const Lattice lattice = small_tray(0, 18);
  const auto widths_seen = [&](const cv::Scalar& colour) {
    std::vector<int> widths;
    see_seeds(drawn_seeds(lattice, colour), lattice, hints,
              [&](const std::string&, const cv::Mat& flat) { widths.push_back(flat.cols); });
    return widths;
  };
  const int wide = 64 * 13, wider = 96 * 13;
  CHECK(widths_seen({90, 210, 235}) == std::vector{wide});
  CHECK(widths_seen({84, 104, 124}) == std::vector{wide, wider});
}

TEST_CASE("only seedlings are counted by shape") {
  Hints hints;
  hints.counted = Counted::seeds;
  hints.counter = Counter::by_shape;
  const Lattice lattice = small_tray();
  CHECK_THROWS_AS(see_seeds(drawn_seeds(lattice, {90, 210, 235}), lattice, hints), std::invalid_argument);
}

TEST_CASE("chances that are the same in every cell are a guess, unless they are sure") {
  const std::vector<CountChances> guess(50, {0.1, 0.8, 0.1}), sure(50, {0.01, 0.98, 0.01}),
      none(50, {0.9, 0.1, 0});
  std::vector<CountChances> seen(50, {0.03, 0.94, 0.03});
  for (int cell = 0; cell < 50; cell += 5) seen[static_cast<std::size_t>(cell)] = {0.95, 0.05, 0};
  CHECK(sight_of(guess).learned == doctest::Approx(0));
  CHECK(sight_of(guess).doubt == doctest::Approx(0.639).epsilon(0.001));  // 0.2 ln 10 + 0.8 ln 1.25
  CHECK(sight_of(none).empty == doctest::Approx(1));
  CHECK(sight_of(seen).learned > 0.3);
  CHECK(why_seeds_hide(guess).starts_with("seeds can't be told from the medium"));
  CHECK(why_seeds_hide(none).starts_with("seeds can't be told from the medium"));
  CHECK(why_seeds_hide(sure).empty());
  CHECK(why_seeds_hide(seen).empty());
  CHECK(why_seeds_uncounted(seen).empty());
  for (auto& cell : seen)
    if (cell[1] > 0.5) cell = {0.05, 0.7, 0.25};
  CHECK(sight_of(seen).miscounted == doctest::Approx(0.25 / 0.97));
  CHECK(why_seeds_hide(seen).empty());
  CHECK(why_seeds_uncounted(seen).find("some 26 of 100 would be missed") != std::string::npos);
}

TEST_CASE("another number of seeds a cell than told is seen, however many cells were missed") {
  std::vector<CountChances> two(50, {0.01, 0.01, 0.97, 0.01});
  for (std::size_t cell = 0; cell < 20; ++cell) two[cell] = {0.98, 0.02, 0, 0};
  CHECK(why_other_drop(two, 2, 5).empty());
  CHECK(why_other_drop(two, 1, 5).starts_with("the photo shows about 2 seeds a cell, not 1"));
  CHECK(why_other_drop(two, 3, 5).starts_with("the photo shows about 2 seeds a cell, not 3"));
  CHECK(why_other_drop(two, 9, 2).empty());  // where the counter knows no more than two
  const std::vector<CountChances> guess(50, {0.1, 0.1, 0.7, 0.1});
  CHECK(why_other_drop(guess, 3, 5).empty());
}

TEST_CASE("seedlings in most cells mean that no seeds are left to count") {
  CHECK(why_seedlings(0).empty());
  CHECK(why_seedlings(0.5).empty());
  CHECK(why_seedlings(0.52).starts_with("seedlings are up in 52 of 100 cells"));
}

TEST_CASE("cells that look all the same are an empty tray's; seeds lie now here, now there") {
  for (const double shift : {0.0, 0.5}) {
    const Lattice lattice = small_tray(shift);
    cv::Mat holes = bare_medium(lattice), grain(holes.size(), CV_8UC3);
    for (int row = 0; row < lattice.rows; ++row)
      for (int col = 0; col < lattice.cols; ++col)
        cv::circle(holes, cell_centre(lattice, row, col), 6, {190, 190, 190}, cv::FILLED);
    cv::RNG(7).fill(grain, cv::RNG::UNIFORM, 0, 30);
    const SeedsSeen empty = see_seeds(holes + grain, lattice, {});
    CHECK(empty.alike > 0.9);
    CHECK(why_no_count(holes + grain, lattice, {}, empty).starts_with("the cells look all the same"));
    CHECK(see_seeds(grain, lattice, {}).alike < 0.2);
  }
}

TEST_CASE("drawn seeds are told where they stand out and as told, and refused where not") {
  const Lattice lattice = small_tray();
  Hints hints;
  hints.counted = Counted::seeds;
  hints.seeds_per_cell = 1;
  const cv::Mat seen = drawn_seeds(lattice, {90, 210, 235});
  const SeedsSeen counted = see_seeds(seen, lattice, hints);
  CHECK(why_no_count(seen, lattice, hints, counted).empty());
  hints.seeds_per_cell = 3;
  CHECK(
      why_no_count(seen, lattice, hints, counted).starts_with("the photo shows about 1 seed a cell, not 3"));
  hints.seeds_per_cell = 1;
  const double share = seeds_lie_in(seen, lattice, hints);
  CHECK(share > 0.6);
  CHECK(share < 0.72);
  cv::Mat bare = bare_medium(lattice), grain(bare.size(), CV_8UC3);
  cv::RNG(7).fill(grain, cv::RNG::UNIFORM, 0, 30);
  bare += grain;
  CHECK_FALSE(why_no_count(bare, lattice, hints, see_seeds(bare, lattice, hints)).empty());
  CHECK(seeds_lie_in(bare, lattice, hints) == 0);
}
