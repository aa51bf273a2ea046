// SPDX-License-Identifier: Apache-2.0
// A kept tray counted once more, and the lattice that is laid through its census's cells.
#include "vision/coming_up.h"

#include <doctest/doctest.h>

#include <numeric>
#include <string>

#include "calibration/same_tray.h"
#include "vision/take_census.h"

using namespace braird;
using namespace braird::vision;

namespace {

Photo photo_to_lay(const std::string& name) {
  return load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/" + name + ".jpg", Detail::counting);
}

Tray counted_as(const Photo& photo, const Layout& layout) {
  Hints hints;
  hints.rows = layout.rows, hints.cols = layout.cols, hints.lattice = layout.lattice;
  const Census census = take_census(photo, hints).census;
  REQUIRE(census.trays.size() == 1);
  return census.trays[0];
}

/// The farthest that a lattice's cell stands from the census's, in pitches.
double most_off(const Lattice& lattice, const TrayInPhoto& seen) {
  double farthest = 0;
  for (const Cell& cell : seen.tray.cells) {
    const Point at = scaled(cell.centre_px, seen.photo.scale);
    const cv::Point2d off = cell_centre(lattice, cell.row, cell.col) - cv::Point2d(at.x, at.y);
    farthest = std::max(farthest, cv::norm(off) / (seen.tray.pitch_px * seen.photo.scale));
  }
  return farthest;
}

/// The census of a lattice, and a plain photo of its size.
struct DrawnCensus {
  Photo photo;
  Tray tray;
};

DrawnCensus census_drawn(const Lattice& lattice) {
  DrawnCensus made;
  made.photo.bgr = cv::Mat(1500, 2000, CV_8UC3, cv::Scalar::all(90));
  made.tray.layout = layout_of(lattice);
  made.tray.pitch_px = pitch_at(lattice, {lattice.cols / 2.0, lattice.rows / 2.0});
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col) {
      const cv::Point2d at = cell_centre(lattice, row, col);
      made.tray.cells.push_back({row, col, {at.x, at.y}, 0, {1.0}, false});
    }
  return made;
}

Lattice tilted_lattice(int rows, int cols, double odd_row_shift) {
  Lattice lattice;
  lattice.rows = rows, lattice.cols = cols, lattice.odd_row_shift = odd_row_shift;
  lattice.photo_from_plane = {90, 11, 300, -8, 95, 250, 4e-3, -6e-3, 1};
  lattice.lens = {{999.5, 749.5}, 1250, -0.03};
  return lattice;
}

const Layout kPlug{8, 16, LatticeKind::square}, kChain{22, 12, LatticeKind::staggered};

}  // namespace

TEST_CASE(
    "a lattice goes through the cells of the sample photos' censuses, whichever way they are numbered") {
  for (const auto& [name, layout] : {std::pair("plug-128-brassica", kPlug),
                                     {"paper-chain-264-beet", kChain},
                                     {"paper-chain-264-brassica", kChain}}) {
    CAPTURE(name);
    const Photo photo = photo_to_lay(name);
    const Tray tray = counted_as(photo, layout), turned = half_turned(tray);
    for (const Tray& its : {tray, turned}) {
      const double off = most_off(lattice_through({photo, its}), {photo, its});
      MESSAGE(name, ": ", off, " pitches off at most");
      CHECK(off < 0.02);
    }
  }
}

TEST_CASE("drawn lattices are found again from their cells, and which way their rows are shifted") {
  for (const double shift : {0.0, 0.5, -0.5})
    for (const int rows : {5, 8}) {
      CAPTURE(shift);
      CAPTURE(rows);
      const DrawnCensus made = census_drawn(tilted_lattice(rows, 9, shift));
      const Lattice found = lattice_through({made.photo, made.tray});
      CHECK(found.odd_row_shift == shift);
      CHECK(most_off(found, {made.photo, made.tray}) < 0.01);
    }
}

TEST_CASE("cells that stand in no lattice are refused") {
  DrawnCensus made = census_drawn(tilted_lattice(5, 9, 0));
  CHECK(count_coming_up({made.photo, made.tray}, {}).size() == 45);
  made.tray.cells[20].centre_px.x += 30;
  CHECK_THROWS_AS(count_coming_up({made.photo, made.tray}, {}), std::invalid_argument);
}

TEST_CASE("a tray counted once more has chances in each cell, the same ones turned by half") {
  const Photo photo = photo_to_lay("plug-128-brassica");
  const Tray tray = counted_as(photo, kPlug), turned = half_turned(tray);
  const auto chances = count_coming_up({photo, tray}, {}), other_way = count_coming_up({photo, turned}, {});
  REQUIRE(chances.size() == 128);
  REQUIRE(other_way.size() == 128);
  double farthest = 0, sum = 0;
  for (std::size_t at = 0; at < 128; ++at) {
    REQUIRE(chances[at].size() == tray.cells[at].probability.size());
    CHECK(std::accumulate(chances[at].begin(), chances[at].end(), 0.0) == doctest::Approx(1).epsilon(1e-4));
    for (std::size_t k = 0; k < chances[at].size(); ++k) {
      const double apart = std::abs(chances[at][k] - other_way[127 - at][k]);
      farthest = std::max(farthest, apart);
      sum += apart;
    }
  }
  MESSAGE("turned by half: ", farthest, " apart at most, ", sum / 1280, " on average");
  // lay_flat shrinks this photo, and by a little more or less from the other corner.
  CHECK(farthest < 0.15);
  CHECK(sum / 1280 < 0.005);
  const Tray again = with_counts(tray, chances);
  CHECK(again.cells[77].probability == chances[77]);
  CHECK(again.cells[77].centre_px.x == tray.cells[77].centre_px.x);
  CHECK(chances[77][static_cast<std::size_t>(again.cells[77].count)] == std::ranges::max(chances[77]));
}
