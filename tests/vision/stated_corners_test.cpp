// SPDX-License-Identifier: Apache-2.0
#include "vision/stated_corners.h"

#include <doctest/doctest.h>

#include <cmath>

#include "tests/vision/drawn_lattices.h"

using namespace braird;
using namespace braird::vision;

namespace {

/// Told the shape and the corner cells of a lattice, as if it had so many columns.
Hints told_corners(const Lattice& truth, int cols) {
  const auto corner = [&](int row, int col) {
    const cv::Point2d p = cell_centre(truth, row, col);
    return Point{p.x, p.y};
  };
  const int row = truth.rows - 1, col = truth.cols - 1;
  Hints hints;
  hints.rows = truth.rows, hints.cols = cols, hints.lattice = layout_of(truth).lattice;
  hints.corners = {corner(0, 0), corner(0, col), corner(row, col), corner(row, 0)};
  return hints;
}

Hints told_corners(const Lattice& truth) {
  return told_corners(truth, truth.cols);
}

/// A sheet bowed by `depth` pitches in the middle of its rows.
void bow(Lattice& lattice, double depth) {
  lattice.creep = {cv::Mat_<cv::Vec2d>(5, 5, cv::Vec2d()), {0, 0, lattice.cols - 1.0, lattice.rows - 1.0}};
  for (int j = 0; j < 5; ++j)
    for (int i = 0; i < 5; ++i) lattice.creep.shift(j, i) = {0, depth * std::sin(CV_PI * i / 4)};
}

}  // namespace

TEST_CASE("corner cells by hand lay the lattice as it is") {
  drawn::Random random(5);
  for (int i = 0; i < 20; ++i) {
    Lattice truth = drawn::any_lattice(random);
    truth.lens.k1 = 0;
    truth.odd_row_shift = std::abs(truth.odd_row_shift);
    CHECK(drawn::farthest_off(truth, lattice_from_corners(told_corners(truth))) < 1e-3);
  }
}

TEST_CASE("between stated corners cells stand where the photo shows them, however they are bent") {
  drawn::Random random(8);
  int met = 0, met_straight = 0, drawn_ones = 0;
  while (drawn_ones < 20) {
    Lattice truth = drawn::any_lattice(random);
    if (truth.rows * truth.cols < 60) continue;
    bow(truth, 0.08 / CV_PI * truth.cols);  // by 8 % at most
    Hints hints = told_corners(truth);
    const LatticeMaps maps = drawn::maps_of(truth, random);
    const double click = 0.1 * pitch_at(truth, {truth.cols / 2.0, truth.rows / 2.0});
    std::uniform_real_distribution<> off(-click, click);
    for (Point& corner : *hints.corners) corner = {corner.x + off(random), corner.y + off(random)};
    const LatticeSearch search = find_lattices(cv::Mat::zeros(240, 320, CV_8UC3), maps, hints);
    if (search.lattices.empty()) continue;  // too small
    ++drawn_ones;
    met += drawn::farthest_off(truth, search.lattices[0]) < 0.25 && search.lattices[0].fit == 1;
    met_straight += drawn::farthest_off(truth, lattice_from_corners(hints, truth.odd_row_shift)) < 0.25;
  }
  MESSAGE(met, " of 20 met");
  CHECK(met >= 19);
  CHECK(met_straight < 10);
}

TEST_CASE("which way staggered rows are shifted is seen, since corner cells don't tell") {
  drawn::Random random(6);
  int right = 0, drawn_ones = 0;
  while (drawn_ones < 20) {
    Lattice truth = drawn::any_lattice(random);
    if (truth.odd_row_shift == 0 || truth.rows % 2 == 1) continue;
    truth.lens.k1 = 0;
    ++drawn_ones;
    const Hints hints = told_corners(truth);
    const cv::Mat photo = cv::Mat::zeros(240, 320, CV_8UC3);
    const LatticeSearch search = find_lattices(photo, drawn::maps_of(truth, random), hints);
    if (search.lattices.empty()) CHECK(search.refusal.find("12 are needed") != std::string::npos);
    right += search.lattices.empty() || search.lattices[0].odd_row_shift == truth.odd_row_shift;
  }
  CHECK(right == drawn_ones);
}

TEST_CASE("cells that show elsewhere than stated corners lay them are told") {
  drawn::Random random(7);
  int told = 0, drawn_ones = 0;
  while (drawn_ones < 20) {
    const Lattice truth = drawn::any_lattice(random);
    if (truth.cols < 5) continue;
    const auto found = [&](int cols) {
      return find_lattices(cv::Mat::zeros(240, 320, CV_8UC3), drawn::maps_of(truth, random),
                           told_corners(truth, cols));
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

TEST_CASE("corners that no tray has are refused, those between which nothing shows are remarked on") {
  Hints hints;
  hints.rows = 8, hints.cols = 16;
  hints.corners = {{{100, 100}, {1500, 100}, {1500, 800}, {100, 800}}};
  const LatticeSearch bare = find_lattices(cv::Mat::zeros(1200, 1600, CV_8UC3), {}, hints);
  REQUIRE(bare.remarks.size() == 2);
  CHECK(bare.remarks[1].find("lie on straight lines") != std::string::npos);
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
