// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "tests/vision/small_tray.h"
#include "vision/cell_chances.h"
#include "vision/flat_tray.h"
#include "vision/plants.h"
#include "vision/seedlings.h"

using namespace braird;
using namespace braird::vision;

namespace {

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
