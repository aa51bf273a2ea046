// SPDX-License-Identifier: Apache-2.0
// Two painted trays of 8 x 16 cells that touch, their cells in one even square: a line tells them apart.
#include <doctest/doctest.h>

#include <opencv2/imgproc.hpp>

#include "samples/painter/painter.h"
#include "vision/lattice.h"
#include "vision/lattice_maps.h"
#include "vision/seams_within.h"

namespace braird {
namespace {

/// Cells 27 px wide; rows as far apart across the seam as within a tray.
painter::Scene two_that_touch() {
  painter::Scene scene;
  scene.ground = painter::Ground::table;
  painter::Tray tray;
  tray.rim_mm = (tray.row_pitch_mm * (1 - tray.opening) - 0.5) / 2 + 1;
  tray.sowing.stage = -1, tray.sowing.may_be_hidden = true;
  tray.middle_mm = {0, -4 * tray.row_pitch_mm - 1.25};
  scene.trays = {tray, tray};
  scene.trays[1].middle_mm.y *= -1;
  scene.camera.size = {640, 640};
  scene.camera.distance_mm = 750;
  scene.camera.width_over_focal = 0.97;
  return scene;
}

}  // namespace

TEST_CASE("butted trays are told apart by the line between them, told their layout or not") {
  const auto photo = paint(two_that_touch());
  REQUIRE(photo.trays.size() == 2);
  std::vector<cv::Point2f> places, centres;
  for (std::size_t i = 0; i < 2; ++i)
    for (const painter::PaintedCell& cell : photo.trays[i].cells) {
      places.emplace_back(cv::Point2d(cell.col, cell.row + 8.0 * static_cast<double>(i)));
      centres.emplace_back(cell.centre_px - cv::Point2d(0.5, 0.5));
    }
  vision::Lattice both;
  both.rows = 16, both.cols = 16;
  both.photo_from_plane =
      cv::getPerspectiveTransform(std::vector{places[0], places[15], places[255], places[240]},
                                  std::vector{centres[0], centres[15], centres[255], centres[240]});
  both.lens = vision::straight_lens(photo.picture.size());
  const cv::Rect frame({0, 0}, photo.picture.size());
  for (const vision::SeamWithin& seam : vision::seams_within(photo.picture, frame, both)) {
    CAPTURE(seam.upright);
    CAPTURE(seam.before);
    CAPTURE(seam.behind);
    if (!seam.upright && seam.before == 8 && seam.behind == 8)
      CHECK(seam.chance > 0.9);
    else if (seam.before == seam.behind)
      CHECK(seam.chance < 0.05);
  }
  vision::Hints listed;
  listed.known_layouts = {{8, 16}};
  vision::Hints told = listed;
  told.rows = 8, told.cols = 16;
  for (const vision::Hints& hints : {listed, told}) {
    const auto search = vision::find_lattices(photo.picture, hints);
    INFO(search.refusal);
    REQUIRE(search.lattices.size() == 2);
    CHECK(search.remarks.empty());
    for (const vision::Lattice& found : search.lattices) CHECK((found.rows == 8 && found.cols == 16));
  }
}

TEST_CASE(
    "of two that touch the whole one is counted, once, where the frame leaves a row or two of the other") {
  const auto photo = paint(two_that_touch());
  REQUIRE(photo.trays.size() == 2);
  const painter::PaintedCell& next = photo.trays[1].cells[0];
  for (const double rows : {0.8, 1.0, 2.0}) {
    CAPTURE(rows);
    const int last = static_cast<int>(next.centre_px.y + (2 * rows - 1) * next.half_pitch_px);
    const auto search = vision::find_lattices(photo.picture.rowRange(0, last).clone(), {});
    INFO(search.refusal);
    REQUIRE(search.lattices.size() == 1);
    CHECK((search.lattices[0].rows == 8 && search.lattices[0].cols == 16));
  }
}

}  // namespace braird
