// SPDX-License-Identifier: Apache-2.0
// Lattices that no plane fits, and trays that no dark seam parts.
#include <doctest/doctest.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "tests/times.h"
#include "tests/vision/drawn_lattices.h"
#include "vision/lattice.h"
#include "vision/lattice_refine.h"
#include "vision/patch_layouts.h"
#include "vision/patch_seeds.h"

using namespace braird;
using namespace braird::vision;

namespace {

/// The pitch grows by `creep` from one end to the other and rows bow by `bow` pitches, as paper lattices do.
Lattice crept(Lattice lattice, double creep, double bow) {
  constexpr int kKnots = 17;
  lattice.creep = {cv::Mat_<cv::Vec2d>(kKnots, kKnots), cv::Rect2d(-0.5, -0.5, lattice.cols, lattice.rows)};
  for (int j = 0; j < kKnots; ++j)
    for (int i = 0; i < kKnots; ++i) {
      const double s = i / (kKnots / 2.0) - 1, t = j / (kKnots / 2.0) - 1;
      lattice.creep.shift(j, i) = {creep * lattice.cols / 4 * (s * s - 1) + bow * (0.5 - t * t),
                                   creep * lattice.rows / 4 * (t * t - 1)};
    }
  return lattice;
}

/// Two trays of 8 × 10 cells, 12 px apart, the second one's first column `step` pitches from the other's
/// last; one region.
LatticeMaps butted(double step, drawn::Random& random) {
  Lattice whole;
  whole.rows = 8, whole.cols = 20;
  whole.lens = straight_lens({320, 240});
  whole.photo_from_plane = cv::Matx33d(12, 0, 40, 0, 12, 70, 0, 0, 1);
  constexpr int kKnots = 401;  // 20 a cell: a jump is a step of 1/20 of a pitch wide
  whole.creep = {cv::Mat_<cv::Vec2d>(2, kKnots), cv::Rect2d(-0.5, -0.5, 20, 8)};
  for (int j = 0; j < 2; ++j)
    for (int i = 0; i < kKnots; ++i) whole.creep.shift(j, i) = {i > kKnots / 2 ? step - 1 : 0, 0};
  LatticeMaps maps = drawn::maps_of(whole, random);
  std::uniform_real_distribution<> stray(-0.5, 0.5);
  for (int row = 0; row < whole.rows; ++row)  // every cell is seen
    for (int col = 0; col < whole.cols; ++col) {
      const cv::Point2d at = cell_centre(whole, row, col) + cv::Point2d(stray(random), stray(random));
      for (int y = cvFloor(at.y) - 6; y <= at.y + 6; ++y)
        for (int x = cvFloor(at.x) - 6; x <= at.x + 6; ++x)
          maps.centres.at<float>(y, x) =
              static_cast<float>(std::exp(-((x - at.x) * (x - at.x) + (y - at.y) * (y - at.y)) / 11.5));
    }
  return maps;
}

}  // namespace

TEST_CASE("a lattice that has crept by 8 % and bowed is found with every cell in place") {
  drawn::Random random(23);
  constexpr int kScenes = test::times(100, 15);
  int right = 0, wrong_but_sure = 0;
  for (int scene = 0; scene < kScenes; ++scene) {
    const Lattice truth = crept(drawn::any_lattice(random), scene % 2 ? 0.08 : -0.08, scene % 3 ? 0.2 : 0);
    const LatticeSearch search = find_in_maps(drawn::maps_of(truth, random), {});
    const double off = search.lattices.empty() ? 9 : drawn::farthest_off(truth, search.lattices[0]);
    right += off < 0.2;
    wrong_but_sure += off > 0.5 && !search.lattices.empty() && search.lattices[0].fit > 0.9;
  }
  CAPTURE(right);
  CHECK(right >= kScenes * 90 / 100);
  CHECK(wrong_but_sure == 0);
}

TEST_CASE("following a lattice's creep leaves the lattice that it began with as it was") {
  drawn::Random random(27);
  const Lattice truth = crept(drawn::any_lattice(random), 0.08, 0.2), begin = crept(truth, 0.04, 0.1);
  const cv::Mat before = begin.creep.shift.clone();
  const Lattice followed = follow_creep(drawn::maps_of(truth, random), begin);
  CHECK(cv::norm(begin.creep.shift, before, cv::NORM_INF) == 0);
  CHECK(cv::norm(followed.creep.shift, before, cv::NORM_INF) > 0.01);
}

TEST_CASE("two trays as stated that bow as one are parted where their cells are") {
  constexpr double kPitch = 30, kBow = 0.3;
  constexpr int kCells = 16;
  const auto place = [](double u, double v) {
    const double s = (u - 7.5) / 8, t = (v - 7.5) / 8, wave = std::sin(3.1 * t);
    return 90 * cv::Point2d(1, 1) +
           kPitch * cv::Point2d(u + 0.6 * kBow * wave, v + kBow * (s * (1.5 * s * s - 1) + wave));
  };
  LatticeMaps maps;
  maps.region = cv::Mat::zeros(640, 640, CV_32F);
  maps.centres = maps.region.clone();
  maps.staggered = maps.region.clone();
  maps.frame = {{0, 0}, maps.region.size()};
  maps.lens = straight_lens(maps.region.size());
  std::vector<cv::Point> rim;
  for (int i = 0; i < 4 * kCells; ++i) {
    const double along = i % kCells - 0.25, far = kCells - 0.75;
    const int side = i / kCells;
    rim.emplace_back(side == 0   ? place(along, -0.25)
                     : side == 1 ? place(far, along)
                     : side == 2 ? place(far - along, far)
                                 : place(-0.25, far - along));
  }
  cv::fillPoly(maps.region, std::vector{rim}, 1.0);
  maps.core = maps.region;
  std::vector<cv::Point2d> cells;
  for (int i = 0; i < kCells * kCells; ++i) {
    cells.push_back(place(i % kCells, i / kCells));
    cv::circle(maps.centres, cells.back(), 4, 1.0, cv::FILLED);
  }
  cv::GaussianBlur(maps.centres, maps.centres, {}, 4);
  maps.centres /= 0.8;
  Hints hints;
  hints.rows = kCells / 2, hints.cols = kCells;
  const LatticeSearch search = find_in_maps(maps, hints);
  REQUIRE(search.lattices.size() == 2);
  for (const Lattice& part : search.lattices)
    for (int i = 0; i < part.rows * part.cols; ++i) {
      const cv::Point2d at = cell_centre(part, i / part.cols, i % part.cols);
      CHECK(
          std::ranges::any_of(cells, [&](cv::Point2d cell) { return cv::norm(cell - at) < 0.12 * kPitch; }));
    }
}

TEST_CASE("trays butted without a dark seam come apart where cells stand farther apart") {
  drawn::Random random(29);
  for (const double step : {1.3, 1.4, 1.5, 1.6, 1.7}) {
    CAPTURE(step);
    const LatticeSearch search = find_in_maps(butted(step, random), {});
    REQUIRE(search.lattices.size() == 2);
    for (const Lattice& lattice : search.lattices)
      CHECK(std::minmax(lattice.rows, lattice.cols) == std::minmax(8, 10));
  }
}

TEST_CASE("an evenly spaced tray stays one") {
  drawn::Random random(31);
  const LatticeSearch search = find_in_maps(butted(1, random), {});
  REQUIRE(search.lattices.size() == 1);
  CHECK(std::minmax(search.lattices[0].rows, search.lattices[0].cols) == std::minmax(8, 20));
}

TEST_CASE("a window's neighbours stand on cells of the same patch") {
  const PatchWindow window{{0, 0}, 6, 5, 0.5};
  for (const PatchWindow& next : neighbours(window)) {
    CAPTURE(next.first.x);
    CAPTURE(next.first.y);
    // Cells of a staggered patch stand at whole steps in even rows and at half steps in odd ones.
    CHECK(std::fmod(std::abs(next.first.x - next.first.y / 2), 1) == doctest::Approx(0));
    CHECK(std::abs(next.odd_row_shift) == 0.5);
  }
}

TEST_CASE("places of a nearer look are the photo's own") {
  LatticeMaps maps;
  maps.map_from_photo = 0.4;
  maps.origin = {120, 60};
  const cv::Point2d place(200, 150);
  CHECK(cv::norm(on_maps(in_photo(place, maps), maps) - place) < 1e-9);
  Lattice lattice;
  lattice.photo_from_plane = cv::Matx33d(9, 1, 20, -1, 9, 30, 0, 0, 1);
  lattice.rows = lattice.cols = 4;
  CHECK(cv::norm(in_photo(cell_centre(lattice, 2, 3), maps) - cell_centre(in_photo(lattice, maps), 2, 3)) <
        1e-9);
}

TEST_CASE("the nearest free blob is the nearest of all that are free, or none within reach") {
  constexpr int kSize = 80;
  drawn::Random random(3);
  std::uniform_real_distribution<> anywhere(-10, kSize + 10.0), inside(0, kSize - 1.0), reach(0.5, 25);
  Blobs blobs{.taken = {false},
              .first = cv::Mat1i(kSize / Blobs::kSquare + 1, kSize / Blobs::kSquare + 1, 0),
              .next = {0}};
  for (int i = 0; i < 60; ++i) blobs.add({{inside(random), inside(random)}, 1});
  for (std::size_t i = 0; i < blobs.all.size(); i += 3) blobs.taken[i] = true;
  int found = 0;
  for (int i = 0; i < 500; ++i) {
    const cv::Point2d p(anywhere(random), anywhere(random));
    const double most = reach(random);
    int nearest = 0;
    double least = most;
    for (std::size_t k = 1; k < blobs.all.size(); ++k)
      if (const double away = cv::norm(blobs.all[k].at - p); !blobs.taken[k] && away < least)
        nearest = static_cast<int>(k), least = away;
    CHECK(blobs.nearest(p, most) == nearest);
    found += nearest != 0;
  }
  CHECK((found > 100 && found < 500));
}
