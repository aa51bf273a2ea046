// SPDX-License-Identifier: Apache-2.0
#include "vision/butted.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace braird;
using namespace braird::vision;

namespace {

const cv::Rect kFrame(0, 0, 320, 240);

/// Cells 10 px wide, the first at (20, `top`).
Lattice even_cells(int rows, int cols, double fit = 0.9, double top = 15) {
  Lattice lattice;
  lattice.rows = rows, lattice.cols = cols, lattice.fit = fit;
  lattice.photo_from_plane = {10, 0, 20, 0, 10, top, 0, 0, 1};
  lattice.lens = straight_lens(kFrame.size());
  return lattice;
}

SeamWithin across(int before, double chance, int lost = 0) {
  return {false, before, before + lost, chance};
}

std::vector<ButtedTray> parted(const Lattice& lattice, const SeamWithin& seam, const Hints& hints = {}) {
  return butted_trays(lattice, {{true, 2, 2, 0.0}, seam}, hints, kFrame);
}

Hints told(int rows, int cols) {
  Hints hints;
  hints.rows = rows, hints.cols = cols;
  return hints;
}

}  // namespace

TEST_CASE("at a seam the cells before and behind it stay where they are, and are as sure as both") {
  const Lattice whole = even_cells(17, 12);
  const auto trays = parted(whole, across(8, 0.9, 1));
  REQUIRE(trays.size() == 2);
  CHECK((trays[0].cells.rows == 8 && trays[0].cells.cols == 12 && trays[0].side == 2));
  CHECK((trays[1].cells.rows == 8 && trays[1].cells.cols == 12 && trays[1].side == 0));
  CHECK(cv::norm(cell_centre(trays[1].cells, 0, 0) - cell_centre(whole, 9, 0)) < 1e-9);
  for (const ButtedTray& tray : trays) CHECK(tray.cells.fit == doctest::Approx(0.9 * 0.9));
}

TEST_CASE("the likeliest of several seams counts") {
  const auto trays =
      butted_trays(even_cells(16, 12), {across(5, 0.7), across(9, 0.99), {true, 6, 6, 0.8}}, {}, kFrame);
  REQUIRE(trays.size() == 2);
  CHECK(trays[0].cells.rows == 9);
}

TEST_CASE("a clear lattice takes a surer seam; that trays of one make end there is enough") {
  CHECK(parted(even_cells(16, 12, 0.9), across(8, 0.55)).size() == 2);
  CHECK(parted(even_cells(16, 12, 0.99), across(8, 0.55)).empty());
  CHECK(parted(even_cells(17, 12, 0.9), across(7, 0.9)).empty());  // unlike
  CHECK(parted(even_cells(17, 12, 0.9), across(7, 0.96)).size() == 2);
  const auto ending_at = [](int before, double ends) {
    return SeamWithin{false, before, before, 0.01, ends};
  };
  CHECK(parted(even_cells(16, 12, 0.99), ending_at(8, 0.2)).size() == 2);
  CHECK(parted(even_cells(15, 12, 0.99), ending_at(5, 0.2)).size() == 2);  // one and two
  CHECK(parted(even_cells(16, 12, 0.99), ending_at(8, 0.1)).empty());
  CHECK(parted(even_cells(17, 12, 0.99), ending_at(7, 0.2)).empty());
  CHECK(parted(even_cells(16, 12, 0.99), {false, 8, 8, 0.0005, 0.9}).empty());  // ruled out
}

TEST_CASE("a tray in the list is hardly two that aren't") {
  Hints hints;
  hints.known_layouts = {{8, 16}, {8, 8}, {10, 20}};
  CHECK(parted(even_cells(16, 8), across(8, 0.7), hints).size() == 2);
  CHECK(parted(even_cells(20, 10), across(10, 0.7), hints).empty());
  CHECK(parted(even_cells(20, 10), across(10, 0.95), hints).size() == 2);
  CHECK(parted(even_cells(16, 16), across(8, 0.7), hints).size() == 2);
  CHECK(may_be_butted(even_cells(16, 8, 0.99), hints) == Butted::hardly);
  CHECK(may_be_butted(even_cells(20, 10, 0.99), hints) == Butted::no);
  CHECK(may_be_butted(even_cells(20, 10, 0.9), hints) == Butted::perhaps);
  CHECK(may_be_butted(even_cells(9, 12, 0.99), hints) == Butted::perhaps);
  CHECK(may_be_butted(even_cells(8, 12, 0.5), told(8, 12)) == Butted::no);
}

TEST_CASE("a row in view is another tray's only by a sure seam, or where one ends beside it") {
  const Lattice cut = even_cells(24, 12);  // its last row lies partly below the frame
  CHECK(parted(cut, {false, 23, 23, 0.8, 0.001}).empty());
  CHECK(parted(cut, {false, 23, 23, 0.95, 0.001}).size() == 2);
  CHECK(parted(cut, {false, 23, 23, 0.8, 0.05}).size() == 2);
  CHECK(parted(even_cells(20, 12), {false, 19, 19, 0.95, 0.9}).empty());  // whole, so no tray
}

TEST_CASE("of a tray in the list only lines are asked about that leave others of it") {
  Hints hints;
  hints.known_layouts = {{8, 16}, {8, 8}, {12, 24}, {12, 8}};
  const auto halves = lines_of_listed(even_cells(16, 8, 0.99), hints);
  REQUIRE(halves.size() == 1);
  CHECK((!halves[0].upright && halves[0].before == 8 && halves[0].behind == 8));
  const auto thirds = lines_of_listed(even_cells(12, 24, 0.99), hints);
  REQUIRE(thirds.size() == 2);
  CHECK((thirds[0].upright && thirds[0].before == 8 && thirds[1].upright && thirds[1].before == 16));
}

TEST_CASE("a tray found beside a seam ends there, however it is numbered") {
  const auto trays = parted(even_cells(16, 12), across(8, 0.99));
  REQUIRE(trays.size() == 2);
  CHECK(ends_at_seam(trays[0].cells, 2, trays[0]));
  CHECK_FALSE(ends_at_seam(trays[0].cells, 0, trays[0]));
  CHECK_FALSE(ends_at_seam(trays[0].cells, 1, trays[0]));
  Lattice turned;  // columns run upwards
  turned.rows = 12, turned.cols = 8;
  turned.photo_from_plane = {0, 10, 20, -10, 0, 85, 0, 0, 1};
  turned.lens = straight_lens(kFrame.size());
  CHECK(ends_at_seam(turned, 3, trays[0]));
  CHECK_FALSE(ends_at_seam(turned, 1, trays[0]));
}

TEST_CASE("of a stated layout, only seams count that leave it on one side") {
  CHECK(parted(even_cells(16, 12), across(8, 0.2), told(8, 12)).size() == 2);
  CHECK(parted(even_cells(11, 12), across(3, 0.2), told(12, 8)).size() == 2);
  CHECK(parted(even_cells(16, 12), across(7, 0.99), told(8, 12)).empty());
}

TEST_CASE("a row or two are a tray only where the frame cuts it") {
  CHECK(parted(even_cells(12, 12), across(2, 0.99)).empty());
  CHECK(parted(even_cells(12, 12, 0.9, 10), across(2, 0.99)).size() == 2);  // a third row shows by half
  CHECK(parted(even_cells(12, 12, 0.9, 10), across(10, 0.99)).empty());
  CHECK(parted(even_cells(12, 12, 0.9, 10), across(0, 0.99, 1)).empty());
}

TEST_CASE("without its neighbour a tray's maps are dark from the seam on, and as they were elsewhere") {
  LatticeMaps maps;
  maps.map_from_photo = 0.5;
  maps.frame = {0, 0, 160, 120};
  maps.lens = straight_lens({160, 120});
  maps.region = maps.core = maps.centres = maps.staggered = cv::Mat::ones(120, 160, CV_32F);
  const auto trays = parted(even_cells(20, 24), across(10, 0.99));  // the seam lies at row 55 of the maps
  REQUIRE(trays.size() == 2);
  const LatticeMaps upper = without_neighbour(maps, trays[0]), lower = without_neighbour(maps, trays[1]);
  const auto first_dark = [](const cv::Mat& map) {
    int row = 0;
    while (row < map.rows && map.at<float>(row, 80) > 0) ++row;
    return row;
  };
  CHECK(std::abs(first_dark(upper.centres) - 55) <= 1);
  CHECK(std::abs(first_dark(upper.region) - (55 - 5 * kRegionInset)) < 1.5);
  CHECK(std::abs(first_dark(upper.core) - (55 - 5)) <= 1);
  CHECK(lower.region.at<float>(54, 80) == 0);
  CHECK(lower.region.at<float>(110, 80) == 1);
  CHECK(cv::countNonZero(upper.region(cv::Rect(0, 0, 140, 50))) == 50 * 140);
}
