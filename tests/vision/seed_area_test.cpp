// SPDX-License-Identifier: Apache-2.0
#include "vision/seed_area.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <opencv2/imgproc.hpp>

using namespace braird::vision;

namespace {

Lattice tray_of(double odd_row_shift) {
  Lattice lattice;
  lattice.rows = 8, lattice.cols = 10, lattice.odd_row_shift = odd_row_shift;
  return lattice;
}

/// How many seeds lie in a cell.
int lying(int cell) {
  return cell % 5 == 0 ? 0 : cell % 7 == 0 ? 3 : cell % 3 == 0 ? 2 : 1;
}

/// Grainy medium with bright litter in it, and seeds of this colour that hardly touch.
FlatTray sown_tray(const Lattice& lattice, const cv::Scalar& colour) {
  FlatTray flat;
  flat.cell = kSeedsCell;
  const int across = flat.cell * (lattice.cols + 1) + (lattice.odd_row_shift != 0 ? flat.cell / 2 : 0);
  flat.bgr = cv::Mat(flat.cell * (lattice.rows + 1), across, CV_8UC3, cv::Scalar(40, 52, 66));
  cv::Mat grain(flat.bgr.size(), CV_8UC3);
  cv::RNG random(3);
  random.fill(grain, cv::RNG::UNIFORM, 0, 30);
  flat.bgr += grain;
  for (int i = 0; i < 400; ++i)
    cv::circle(flat.bgr, {random.uniform(0, flat.bgr.cols), random.uniform(0, flat.bgr.rows)}, 3,
               cv::Scalar::all(200), -1, cv::LINE_AA);
  for (int cell = 0; cell < lattice.rows * lattice.cols; ++cell) {
    const int row = cell / lattice.cols;
    const double u = tray_point(lattice, row, cell % lattice.cols).x - first_u(lattice);
    for (int seed = 0; seed < lying(cell); ++seed)
      cv::circle(flat.bgr,
                 cv::Point2d(flat.cell * (u + 1) + 18 * (seed - 1) + random.uniform(-3, 3),
                             flat.cell * (row + 1) + random.uniform(-20, 20)),
                 6, colour, -1, cv::LINE_AA);
  }
  return flat;
}

/// A counter that leans to the truth but takes most cells for singles.
std::vector<CountChances> leaning(int cells) {
  std::vector<CountChances> result;
  for (int cell = 0; cell < cells; ++cell) {
    CountChances chances{0.12, 0.6, 0.12, 0.12, 0.04};
    chances[static_cast<std::size_t>(lying(cell))] += 0.25;
    for (double& p : chances) p /= 1.25;
    result.push_back(chances);
  }
  return result;
}

int right(const std::vector<CountChances>& chances) {
  int sum = 0;
  for (std::size_t cell = 0; cell < chances.size(); ++cell) {
    const auto& p = chances[cell];
    sum += std::max_element(p.begin(), p.end()) - p.begin() == lying(static_cast<int>(cell));
  }
  return sum;
}

}  // namespace

TEST_CASE("a tray's own seeds tell how many lie in a cell that the counter takes for a single") {
  for (const double shift : {0.0, 0.5, -0.5})
    for (const cv::Scalar& colour : {cv::Scalar(60, 60, 205), cv::Scalar(200, 120, 60)}) {
      CAPTURE(shift);
      const Lattice lattice = tray_of(shift);
      const auto before = leaning(80),
                 after = weighed_by_seed_area(sown_tray(lattice, colour), lattice, before);
      REQUIRE(after.size() == 80);
      CHECK(right(before) < 45);
      CHECK(right(after) >= 76);
      for (const CountChances& cell : after)
        CHECK(std::accumulate(cell.begin(), cell.end(), 0.0) == doctest::Approx(1));
    }
}

TEST_CASE("the same tray gives the same chances again") {
  const Lattice lattice = tray_of(0);
  const FlatTray flat = sown_tray(lattice, {60, 60, 205});
  CHECK(weighed_by_seed_area(flat, lattice, leaning(80)) == weighed_by_seed_area(flat, lattice, leaning(80)));
}

TEST_CASE("where all cells are expected to hold the same, or the tray is one colour, chances stay") {
  const Lattice lattice = tray_of(0);
  const std::vector<CountChances> same(80, {0.1, 0.8, 0.1});
  CHECK(weighed_by_seed_area(sown_tray(lattice, {60, 60, 205}), lattice, same) == same);
  FlatTray plain = sown_tray(lattice, {60, 60, 205});
  plain.bgr.setTo(cv::Scalar(40, 52, 66));
  CHECK(weighed_by_seed_area(plain, lattice, leaning(80)) == leaning(80));
}
