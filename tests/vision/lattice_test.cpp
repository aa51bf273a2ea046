// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice.h"

#include <doctest/doctest.h>

#include "tests/times.h"
#include "tests/vision/drawn_lattices.h"
#include "vision/numbering.h"

using namespace braird;
using namespace braird::vision;

TEST_CASE("a drawn lattice is found with its shape and every cell in place, told or not") {
  drawn::Random random(11);
  constexpr int kScenes = test::times(150, 20);
  int right_blind = 0, right_told = 0, wrong_but_sure = 0;
  for (int scene = 0; scene < kScenes; ++scene) {
    const Lattice truth = drawn::any_lattice(random);
    const LatticeMaps maps = drawn::maps_of(truth, random);
    Hints told;
    told.rows = truth.rows;
    told.cols = truth.cols;
    told.lattice = layout_of(truth).lattice;
    const LatticeSearch blind_search = find_in_maps(maps, {}), told_search = find_in_maps(maps, told);
    const auto right = [&](const LatticeSearch& s) {
      return s.lattices.size() == 1 && drawn::farthest_off(truth, s.lattices[0]) < 0.15;
    };
    right_blind += right(blind_search);
    right_told += right(told_search);
    const bool sure = !blind_search.lattices.empty() && blind_search.lattices[0].fit > 0.9;
    wrong_but_sure += sure && drawn::farthest_off(truth, blind_search.lattices[0]) > 0.5;
  }
  CHECK(right_told >= kScenes * 98 / 100);
  CHECK(right_blind >= kScenes * 97 / 100);
  CHECK(wrong_but_sure == 0);
}

TEST_CASE("an unsure lattice stands if a nearer look shows it too, and falls if that shows another") {
  drawn::Random random(17);
  int met = 0;
  for (int scene = 0; scene < 200 && met < 3; ++scene) {
    const Lattice truth = drawn::any_lattice(random);
    const LatticeMaps maps = drawn::maps_of(truth, random);
    const LatticeSearch single = find_in_maps(maps, {});
    if (single.lattices.size() != 1 || single.lattices[0].fit > 0.94) continue;
    const Lattice first = single.lattices[0];
    Lattice wider = first;
    ++wider.cols;
    const LatticeMaps other = drawn::maps_of(wider, random);
    const auto nearer = [&](const LatticeMaps& shown) {
      return find_in_maps(
          maps, {}, {.look_closer = [&](const LatticeMaps&, const TrayQuad&, double) { return shown; }});
    };
    const LatticeSearch same = nearer(maps), contrary = nearer(other);
    REQUIRE(same.lattices.size() == 1);
    CHECK(drawn::farthest_off(first, same.lattices[0]) < 0.05);
    for (const Lattice& lattice : contrary.lattices) CHECK(drawn::farthest_off(first, lattice) > 0.5);
    ++met;
  }
  CHECK(met == 3);
}

TEST_CASE("a stated layout that the photo contradicts is refused, with what was seen") {
  drawn::Random random(3);
  Lattice truth = drawn::any_lattice(random);
  const LatticeMaps maps = drawn::maps_of(truth, random);
  Hints hints;
  hints.rows = truth.rows + 3;
  hints.cols = truth.cols + 5;
  hints.lattice = LatticeKind::square;
  const LatticeSearch search = find_in_maps(maps, hints);
  CHECK(search.lattices.empty());
  CHECK_FALSE(search.refusal.empty());
}

TEST_CASE("square rows that were stated as staggered are refused, and the remedy names what was stated") {
  drawn::Random random(3);
  Lattice truth = drawn::any_lattice(random);
  while (truth.odd_row_shift != 0) truth = drawn::any_lattice(random);
  const LatticeMaps maps = drawn::maps_of(truth, random);
  Hints hints;
  hints.lattice = LatticeKind::staggered;
  CHECK(find_in_maps(maps, hints).refusal.ends_with("correct --lattice or leave it out"));
  hints.rows = truth.rows;
  hints.cols = truth.cols;
  const LatticeSearch search = find_in_maps(maps, hints);
  CHECK(search.lattices.empty());
  CHECK(search.refusal.ends_with("correct --tray or leave it out"));
}

TEST_CASE("maps without a tray give a refusal with its remedy") {
  LatticeMaps maps;
  maps.region = maps.core = maps.centres = maps.staggered = cv::Mat::zeros(240, 320, CV_32F);
  maps.lens = straight_lens({320, 240});
  const LatticeSearch search = find_in_maps(maps, {});
  CHECK(search.lattices.empty());
  CHECK(search.refusal.find("no tray seen") == 0);
}

TEST_CASE("numbering from another corner names the same places") {
  drawn::Random random(7);
  for (int i = 0; i < 20; ++i) {
    const Lattice lattice = drawn::any_lattice(random);
    const Lattice turned = half_turned(lattice);
    CHECK(drawn::farthest_off(lattice, turned) < 1e-6);
    const cv::Point2d first = cell_centre(turned, 0, 0);
    const cv::Point2d last = cell_centre(lattice, lattice.rows - 1, lattice.cols - 1);
    CHECK(cv::norm(first - last) < 1e-6);
    if (lattice.odd_row_shift == 0) CHECK(drawn::farthest_off(lattice, quarter_turned(lattice)) < 1e-6);
  }
}

TEST_CASE("trays are listed as one reads, whatever the tilt") {
  const auto at = [](double x, double y, double turn) {
    Lattice lattice;
    lattice.rows = 8, lattice.cols = 16;
    lattice.photo_from_plane = {20, -turn, x, turn, 20, y, 0, 0, 1};
    return lattice;
  };
  for (const double tilt : {-2., 2.}) {
    const std::vector<Lattice> trays = {at(500, 300 + 20 * tilt, tilt), at(100, 300, tilt), at(500, 20, 0),
                                        at(100, 20 - 20 * tilt, 0)};
    const std::vector<Lattice> read = in_reading_order(trays);
    for (std::size_t i = 0; i < 4; ++i) CHECK(cell_centre(read[i], 0, 0) == cell_centre(trays[3 - i], 0, 0));
  }
}

namespace {

std::string start(const Lattice& tray) {
  std::array<Point, 4> corners;
  std::ranges::transform(corner_centres(tray), corners.begin(), [](cv::Point2d cell) {
    return Point{cell.x, cell.y};
  });
  return first_corner(corners);
}

}  // namespace

TEST_CASE(
    "a staggered tray whose rows run down the photo starts at its upper right, turned a little or not") {
  for (const auto& [rows, cols] : {std::pair(22, 12), std::pair(12, 22), std::pair(18, 10)})
    for (const double tilt : {-3., 0., 3.})
      for (const int way : {1, -1}) {
        Lattice lattice;
        lattice.rows = rows, lattice.cols = cols, lattice.odd_row_shift = 0.5;
        lattice.photo_from_plane =
            cv::Matx33d(way * tilt, way * -20, 500, way * 20, way * tilt, 500, 0, 0, 1);
        CHECK(start(numbered(lattice, {})) == "upper right");
      }
}

TEST_CASE("the stated count of rows wins over the direction in which rows run") {
  Lattice lattice;
  lattice.rows = 4;
  lattice.cols = 6;
  lattice.photo_from_plane = cv::Matx33d(10, 0, 20, 0, 10, 20, 0, 0, 1);
  Hints hints;
  CHECK(numbered(lattice, hints).rows == 4);
  CHECK(start(numbered(lattice, hints)) == "upper left");
  hints.rows = 6;
  hints.cols = 4;
  const Lattice told = numbered(lattice, hints);
  CHECK(told.rows == 6);
  CHECK(told.cols == 4);
  CHECK(start(told) == "upper right");  // no unmirrored numbering starts upper left
  const cv::Point2d first = cell_centre(told, 0, 0);
  CHECK(cv::norm(first - cv::Point2d(70, 20)) < 1e-9);
}

TEST_CASE("bending through the lens and back leaves a point in place") {
  for (const double k1 : {-0.1, -0.03, 0.05, 0.1}) {
    const Lens lens{{400, 300}, 500, k1};
    for (const cv::Point2d p :
         {cv::Point2d(0, 0), cv::Point2d(400, 300), cv::Point2d(790, 590), cv::Point2d(100, 500)}) {
      CAPTURE(k1);
      CHECK(cv::norm(undistort(lens, distort(lens, p)) - p) < 1e-5);
    }
  }
}
