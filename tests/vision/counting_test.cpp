// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "vision/cell_chances.h"
#include "vision/flat_tray.h"
#include "vision/plants.h"
#include "vision/seedlings.h"
#include "vision/seeds_told.h"

using namespace braird;
using namespace braird::vision;

namespace {

/// Ten rows of twelve cells, 60 px apart, seen askew.
Lattice small_tray(double odd_row_shift = 0) {
  Lattice lattice;
  lattice.rows = 10;
  lattice.cols = 12;
  lattice.odd_row_shift = odd_row_shift;
  lattice.photo_from_plane = cv::Matx33d(60, 4, 90, -3, 58, 110, 2e-5, 1e-5, 1);
  lattice.lens = {{450, 350}, 570, 0.02};
  return lattice;
}

/// Grainy medium; in two of three cells a seed of this colour lies, with its shadow.
cv::Mat drawn_seeds(const Lattice& lattice, const cv::Scalar& colour) {
  cv::Mat photo(700, 900, CV_8UC3, cv::Scalar(40, 52, 66)), grain(photo.size(), CV_8UC3);
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

/// Brown medium with a green disc in every cell whose place in the tray is even.
cv::Mat drawn_photo(const Lattice& lattice, const cv::Scalar& light) {
  cv::Mat photo(700, 900, CV_8UC3, cv::Scalar(50, 70, 90));
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      if ((row + col) % 2 == 0)
        cv::circle(photo, cell_centre(lattice, row, col), 9, cv::Scalar(60, 170, 90), -1);
  cv::Mat noise(photo.size(), CV_8UC3);
  cv::RNG(5).fill(noise, cv::RNG::UNIFORM, 0, 12);
  photo += noise;
  cv::multiply(photo, light, photo);
  return photo;
}

int likeliest(const CountChances& chances) {
  return static_cast<int>(std::max_element(chances.begin(), chances.end()) - chances.begin());
}

}  // namespace

TEST_CASE("a cell is empty where that is likelier than not, else it has the likeliest of the other counts") {
  CHECK(with_chances({}, {0.5, 0.3, 0.2}).count == 0);
  CHECK(with_chances({}, {0.49, 0.26, 0.25}).count == 1);
  CHECK(with_chances({}, {0.4, 0.1, 0.3, 0.2}).count == 2);
  CHECK(with_chances({}, {0.1, 0.2, 0.7}).count == 2);
}

TEST_CASE("a tray laid flat has each cell at its place, square or staggered") {
  for (const double shift : {0.0, 0.5, -0.5}) {
    CAPTURE(shift);
    const Lattice lattice = small_tray(shift);
    cv::Mat photo(700, 900, CV_8UC3, cv::Scalar::all(0));
    const int row = 7, col = 4;
    cv::circle(photo, cell_centre(lattice, row, col), 5, cv::Scalar::all(255), -1, cv::LINE_AA);
    cv::Mat grey;
    cv::cvtColor(lay_flat(photo, lattice, kCountedCell).bgr, grey, cv::COLOR_BGR2GRAY);
    const cv::Moments m = cv::moments(grey);
    const double u = tray_point(lattice, row, col).x - std::min(0.0, shift);
    CHECK(m.m10 / m.m00 == doctest::Approx(kCountedCell * (u + 1) - 0.5).epsilon(0.005));
    CHECK(m.m01 / m.m00 == doctest::Approx(kCountedCell * (row + 1) - 0.5).epsilon(0.005));
  }
}

TEST_CASE("plants stand out under white, warm and magenta light") {
  const Lattice lattice = small_tray();
  for (const cv::Scalar& light :
       {cv::Scalar(1, 1, 1), cv::Scalar(0.6, 0.9, 1.3), cv::Scalar(1.2, 0.7, 1.2)}) {
    const cv::Mat mask = plant_mask(lay_flat(drawn_photo(lattice, light), lattice, kCoarseCell).bgr);
    const double share = cv::countNonZero(mask) / static_cast<double>(mask.total());
    CHECK(share > 0.02);
    CHECK(share < 0.08);
  }
}

TEST_CASE("counting by shape tells cells with a plant from those without") {
  Hints hints;
  hints.seeds_per_cell = 1;
  hints.counter = Counter::by_shape;
  const Lattice lattice = small_tray();
  const auto chances = count_seedlings(drawn_photo(lattice, {1, 1, 1}), lattice, hints);
  REQUIRE(chances.size() == 120);
  for (int cell = 0; cell < 120; ++cell) {
    CAPTURE(cell);
    CHECK(likeliest(chances[cell]) == ((cell / 12 + cell % 12) % 2 == 0 ? 1 : 0));
  }
}

TEST_CASE("the learned counter gives each cell chances that sum to 1") {
  for (const double shift : {0.0, 0.5, -0.5}) {
    const Lattice lattice = small_tray(shift);
    const auto chances = count_seedlings(drawn_photo(lattice, {1, 1, 1}), lattice, {});
    REQUIRE(chances.size() == 120);
    for (const CountChances& cell : chances)
      CHECK(std::accumulate(cell.begin(), cell.end(), 0.0) == doctest::Approx(1));
  }
}

TEST_CASE("seeds that stand out are counted, in whatever colour") {
  const Lattice lattice = small_tray();
  Hints hints;
  hints.counted = Counted::seeds;
  hints.seeds_per_cell = 1;
  for (const cv::Scalar& colour :
       {cv::Scalar(90, 210, 235), cv::Scalar(225, 232, 235), cv::Scalar(60, 60, 205)}) {
    CAPTURE(colour[0]);
    const cv::Mat photo = drawn_seeds(lattice, colour);
    const auto chances = count_seedlings(photo, lattice, hints);
    REQUIRE(chances.size() == 120);
    int right = 0;
    for (int cell = 0; cell < 120; ++cell) right += likeliest(chances[cell]) == (cell % 3 == 0 ? 0 : 1);
    CHECK(right >= 112);
  }
}

TEST_CASE("only seedlings are counted by shape") {
  Hints hints;
  hints.counted = Counted::seeds;
  hints.counter = Counter::by_shape;
  const Lattice lattice = small_tray();
  CHECK_THROWS_AS(count_seedlings(drawn_seeds(lattice, {90, 210, 235}), lattice, hints),
                  std::invalid_argument);
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

TEST_CASE("seedlings in most cells mean that no seeds are left to count") {
  std::vector<CountChances> seedlings(50, {0.9, 0.1});
  CHECK(why_no_seeds({seedlings, 0}).empty());
  std::fill(seedlings.begin(), seedlings.begin() + 25, CountChances{0.1, 0.9});
  CHECK(why_no_seeds({seedlings, 0}).empty());
  seedlings[25] = {0.1, 0.9};
  CHECK(why_no_seeds({seedlings, 0}).starts_with("seedlings are up in 52 of 100 cells"));
}

TEST_CASE("cells that look all the same are an empty tray's; seeds lie now here, now there") {
  for (const double shift : {0.0, 0.5}) {
    const Lattice lattice = small_tray(shift);
    cv::Mat holes(700, 900, CV_8UC3, cv::Scalar(40, 52, 66)), grain(holes.size(), CV_8UC3);
    for (int row = 0; row < lattice.rows; ++row)
      for (int col = 0; col < lattice.cols; ++col)
        cv::circle(holes, cell_centre(lattice, row, col), 6, {190, 190, 190}, cv::FILLED);
    cv::RNG(7).fill(grain, cv::RNG::UNIFORM, 0, 30);
    const Glance empty = glance_at(holes + grain, lattice, {});
    CHECK(empty.alike > 0.9);
    CHECK(why_no_seeds(empty).starts_with("the cells look all the same"));
    CHECK(glance_at(drawn_seeds(lattice, {90, 210, 235}), lattice, {}).alike < 0.5);
    CHECK(glance_at(grain, lattice, {}).alike < 0.2);
  }
}

TEST_CASE("drawn seeds are told where they stand out, and refused where they don't") {
  const Lattice lattice = small_tray();
  Hints hints;
  hints.counted = Counted::seeds;
  hints.seeds_per_cell = 1;
  CHECK(why_seeds_hide(count_seedlings(drawn_seeds(lattice, {90, 210, 235}), lattice, hints)).empty());
  cv::Mat bare(700, 900, CV_8UC3, cv::Scalar(40, 52, 66)), grain(bare.size(), CV_8UC3);
  cv::RNG(7).fill(grain, cv::RNG::UNIFORM, 0, 30);
  CHECK_FALSE(why_seeds_hide(count_seedlings(bare + grain, lattice, hints)).empty());
}
