// SPDX-License-Identifier: Apache-2.0
#include "vision/butted.h"

#include <doctest/doctest.h>

#include <set>
#include <utility>

using namespace braird;
using namespace braird::vision;

namespace {

using Lines = std::set<std::pair<bool, int>>;  // upright, before

LatticeMaps plain_maps() {
  LatticeMaps maps;
  maps.region = cv::Mat::zeros(240, 320, CV_32F);
  maps.frame = {0, 0, 320, 240};
  maps.lens = straight_lens(maps.region.size());
  return maps;
}

/// Cells 10 px wide, the first at (20, 15).
Lattice even_cells(int rows, int cols) {
  Lattice lattice;
  lattice.rows = rows, lattice.cols = cols;
  lattice.photo_from_plane = {10, 0, 20, 0, 10, 15, 0, 0, 1};
  lattice.lens = straight_lens({320, 240});
  return lattice;
}

TrayQuad quad_about(const std::string& cut_side = "") {
  TrayQuad quad;
  quad.lens = straight_lens({320, 240});
  quad.area = 0.4;
  quad.cut_side = cut_side;
  return quad;
}

Lines asked_about(const Lattice& lattice, const Hints& hints, const std::string& cut_side = "") {
  Lines asked;
  const auto note = [&](const Lattice&, const InnerLine& line) {
    asked.emplace(line.upright, line.before);
    return 0.0;
  };
  CHECK(butted_trays(plain_maps(), quad_about(cut_side), lattice, hints, note).empty());
  return asked;
}

/// The parts, if trays end at this line alone.
std::vector<ButtedTray> parted(const Lattice& lattice, const Hints& hints, const InnerLine& seam,
                               double chance, const std::string& cut_side = "") {
  return butted_trays(plain_maps(), quad_about(cut_side), lattice, hints,
                      [&](const Lattice&, const InnerLine& line) {
                        return line.upright == seam.upright && line.before == seam.before ? chance : 0;
                      });
}

}  // namespace

TEST_CASE("with nothing told, lines are asked about that leave two or three trays of one make") {
  CHECK(asked_about(even_cells(16, 16), {}) == Lines{{true, 8}, {false, 8}});
  CHECK(asked_about(even_cells(9, 12), {}) == Lines{{true, 6}, {true, 4}, {false, 3}});
  CHECK(asked_about(even_cells(7, 11), {}).empty());
  CHECK(asked_about(even_cells(4, 12), {}) == Lines{{true, 6}, {true, 4}});  // trays have three rows or more
}

TEST_CASE("a tray in the list is not asked whether it is two that aren't") {
  Hints hints;
  hints.known_layouts = {{8, 16}, {8, 8}, {10, 20}};
  CHECK(asked_about(even_cells(8, 16), hints) == Lines{{true, 8}});
  CHECK(asked_about(even_cells(20, 10), hints).empty());
  CHECK(asked_about(even_cells(16, 16), hints) == Lines{{true, 8}, {false, 8}});
}

TEST_CASE("a stated layout tells which lines to ask about") {
  Hints hints;
  hints.rows = 8, hints.cols = 12;
  CHECK(asked_about(even_cells(8, 12), hints).empty());
  CHECK(asked_about(even_cells(12, 8), hints).empty());
  CHECK(asked_about(even_cells(8, 16), hints) == Lines{{true, 4}, {true, 8}, {true, 12}});
  CHECK(asked_about(even_cells(8, 12), hints, "upper") == Lines{{true, 8}, {true, 4}});
}

TEST_CASE("where trays end, their quads lie on both sides, within the cells' hull") {
  const auto parts = parted(even_cells(16, 16), {}, {false, 8}, 0.95);
  REQUIRE(parts.size() == 2);
  CHECK(parts[1].cells.rows == 8);
  CHECK(cv::norm(cell_centre(parts[1].cells, 0, 0) - cv::Point2d(20, 95)) < 1e-9);
  const std::array<cv::Point2d, 4> upper{{{17.5, 12.5}, {172.5, 12.5}, {172.5, 87.5}, {17.5, 87.5}}};
  for (int i = 0; i < 4; ++i) {
    CHECK(cv::norm(parts[0].quad.corners[i] - upper[i]) < 1e-9);
    CHECK(cv::norm(parts[1].quad.corners[i] - upper[i] - cv::Point2d(0, 80)) < 1e-9);
  }
  CHECK(parts[0].quad.area == doctest::Approx(0.2));
  CHECK(parted(even_cells(16, 16), {}, {false, 8}, 0.15).size() == 2);
  CHECK(parted(even_cells(16, 16), {}, {false, 8}, 0.08).empty());
}

TEST_CASE("of a quad that the frame cuts, only the part at the frame is cut") {
  Lattice lattice = even_cells(11, 12);
  lattice.photo_from_plane = {10, 0, 20, 0, 10, 2, 0, 0, 1};
  Hints hints;
  hints.rows = 8, hints.cols = 12;
  for (const Hints& told : {hints, Hints{}}) {
    const auto parts = parted(lattice, told, {false, 3}, 0.95, "upper");
    REQUIRE(parts.size() == 2);
    CHECK(parts[0].quad.cut_side == "upper");
    CHECK(parts[1].quad.cut_side.empty());
  }
  CHECK(parted(lattice, hints, {false, 3}, 0.2, "upper").size() == 2);  // what was told counts, too
  CHECK(parted(lattice, {}, {false, 3}, 0.2, "upper").empty());
  CHECK(parted(lattice, {}, {false, 1}, 0.95, "upper").size() == 2);  // of which little may show
  CHECK(parted(lattice, {}, {false, 10}, 0.95, "upper").empty());     // a whole tray is larger
}
