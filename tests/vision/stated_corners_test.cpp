// SPDX-License-Identifier: Apache-2.0
#include "vision/stated_corners.h"

#include <doctest/doctest.h>

#include "tests/vision/drawn_lattices.h"

using namespace braird;
using namespace braird::vision;

TEST_CASE("corner cells by hand lay the lattice as it is") {
  drawn::Random random(5);
  for (int i = 0; i < 20; ++i) {
    Lattice truth = drawn::any_lattice(random);
    truth.lens.k1 = 0;
    truth.odd_row_shift = std::abs(truth.odd_row_shift);
    const auto corner = [&](int row, int col) {
      const cv::Point2d p = cell_centre(truth, row, col);
      return Point{p.x, p.y};
    };
    const int row = truth.rows - 1, col = truth.cols - 1;
    Hints hints;
    hints.rows = truth.rows;
    hints.cols = truth.cols;
    hints.lattice = layout_of(truth).lattice;
    hints.corners = {corner(0, 0), corner(0, col), corner(row, col), corner(row, 0)};
    CHECK(drawn::farthest_off(truth, lattice_from_corners(hints)) < 1e-3);
  }
}

TEST_CASE("which way staggered rows are shifted is seen, since corner cells don't tell") {
  drawn::Random random(6);
  int right = 0, drawn_ones = 0;
  while (drawn_ones < 20) {
    Lattice truth = drawn::any_lattice(random);
    if (truth.odd_row_shift == 0 || truth.rows % 2 == 1) continue;
    truth.lens.k1 = 0;
    ++drawn_ones;
    const auto corner = [&](int row, int col) {
      const cv::Point2d p = cell_centre(truth, row, col);
      return Point{p.x, p.y};
    };
    const int row = truth.rows - 1, col = truth.cols - 1;
    Hints hints;
    hints.rows = truth.rows, hints.cols = truth.cols, hints.lattice = LatticeKind::staggered;
    hints.corners = {corner(0, 0), corner(0, col), corner(row, col), corner(row, 0)};
    const cv::Mat photo = cv::Mat::zeros(240, 320, CV_8UC3);
    const LatticeSearch search = find_lattices(photo, drawn::maps_of(truth, random), hints);
    if (search.lattices.empty()) CHECK(search.refusal.find("12 are needed") != std::string::npos);
    right += search.lattices.empty() || search.lattices[0].odd_row_shift == truth.odd_row_shift;
  }
  CHECK(right == drawn_ones);
}

TEST_CASE("square cells that show elsewhere than stated corners lay them are told") {
  drawn::Random random(7);
  int told = 0, drawn_ones = 0;
  while (drawn_ones < 20) {
    Lattice truth = drawn::any_lattice(random);
    if (truth.odd_row_shift != 0 || truth.cols < 4) continue;
    truth.lens.k1 = 0;
    Hints hints;
    const auto found = [&](int cols) {
      const auto corner = [&](int row, int col) {
        const cv::Point2d p = cell_centre(truth, row, col);
        return Point{p.x, p.y};
      };
      const int row = truth.rows - 1, col = truth.cols - 1;
      hints.rows = truth.rows, hints.cols = cols, hints.lattice = LatticeKind::square;
      hints.corners = {corner(0, 0), corner(0, col), corner(row, col), corner(row, 0)};
      return find_lattices(cv::Mat::zeros(240, 320, CV_8UC3), drawn::maps_of(truth, random), hints);
    };
    const LatticeSearch right = found(truth.cols), one_short = found(truth.cols - 1);
    if (right.lattices.empty() || one_short.lattices.empty()) continue;  // too small
    ++drawn_ones;
    CHECK(right.lattices[0].fit == 1);
    CHECK(right.remarks.size() == 1);
    told += one_short.lattices[0].fit < 0.9 && one_short.remarks.size() == 2;
  }
  CHECK(told >= 18);
}

TEST_CASE("corners that can't be those of the tray are refused") {
  Hints hints;
  hints.rows = 8, hints.cols = 16;
  const auto refusal = [&](std::array<Point, 4> corners) {
    hints.corners = corners;
    return find_lattices(cv::Mat::zeros(1200, 1600, CV_8UC3), {}, hints).refusal;
  };
  CHECK(refusal({{{100, 100}, {1500, 100}, {1500, 800}, {100, 800}}}).empty());
  CHECK(refusal({{{1700, 100}, {3100, 100}, {3100, 800}, {1700, 800}}})
            .starts_with("a stated corner lies outside"));
  CHECK(refusal({{{100, 100}, {200, 100}, {200, 150}, {100, 150}}}).starts_with("the cells are "));
  CHECK_THROWS_WITH_AS(refusal({{{1500, 100}, {1500, 800}, {100, 800}, {100, 100}}}),
                       doctest::Contains("4.3 times as long as wide"), std::invalid_argument);
}
