// SPDX-License-Identifier: Apache-2.0
#include "vision/marked_photo.h"

#include <doctest/doctest.h>

using namespace braird;
using namespace braird::vision;

namespace {

constexpr int kPitch = 24;

/// 3 x 4 cells, the first at this place.
Tray tray_at(cv::Point first, LatticeKind lattice = LatticeKind::square) {
  Tray tray;
  tray.layout = {3, 4, lattice};
  tray.pitch_px = kPitch;
  for (int row = 0; row < 3; ++row)
    for (int col = 0; col < 4; ++col) {
      const double shift = lattice == LatticeKind::staggered && row % 2 == 1 ? 0.5 : 0;
      Cell cell;
      cell.row = row, cell.col = col, cell.count = 1;
      cell.centre_px = {first.x + kPitch * (col + shift), 1.0 * first.y + kPitch * row};
      cell.probability = {0, 1};
      tray.cells.push_back(cell);
    }
  return tray;
}

const cv::Rect kPhoto(0, 0, 400, 300);

cv::Mat marked_with_legend(const std::vector<Tray>& trays) {
  Census census;
  census.trays = trays;
  return marked_photo(cv::Mat(kPhoto.size(), CV_8UC3, cv::Scalar::all(90)), census);
}

cv::Mat marked(const std::vector<Tray>& trays) {
  return marked_with_legend(trays)(kPhoto);
}

bool same(const cv::Mat& one, const cv::Mat& other, const cv::Rect& part) {
  return cv::norm(one(part), other(part), cv::NORM_INF) == 0;
}

/// What of the tray's surroundings its own cells take.
cv::Rect hull(const Tray& tray) {
  const cv::Point first(cvRound(tray.cells[0].centre_px.x), cvRound(tray.cells[0].centre_px.y));
  return {first.x - kPitch / 2, first.y - kPitch / 2, 4 * kPitch, 3 * kPitch};
}

}  // namespace

TEST_CASE("rows and columns are numbered beyond the first ones") {
  const Tray tray = tray_at({150, 120});
  const cv::Mat picture = marked({tray}), plain(picture.size(), CV_8UC3, cv::Scalar::all(90));
  const cv::Rect cells = hull(tray);
  CHECK_FALSE(same(picture, plain, {cells.x - kPitch, cells.y, kPitch, cells.height}));
  CHECK_FALSE(same(picture, plain, {cells.x, cells.y - kPitch, cells.width, kPitch}));
  CHECK_FALSE(same(picture, plain, {cells.x - kPitch, cells.y - kPitch, kPitch, kPitch}));  // "row", "column"
  CHECK(same(picture, plain, {cells.br().x + 4, cells.y, kPitch, cells.height}));
  CHECK(same(picture, plain, {cells.x, cells.br().y + 4, cells.width, kPitch}));
}

TEST_CASE("the strip below explains the numbers in diamonds where seeds were counted") {
  Census census;
  census.trays = {tray_at({150, 120})};
  const cv::Mat photo(300, 400, CV_8UC3, cv::Scalar::all(90));
  const cv::Mat seedlings = marked_photo(photo, census);
  census.counted = Counted::seeds;
  const cv::Mat seeds = marked_photo(photo, census);
  REQUIRE(seeds.size() == seedlings.size());
  CHECK_FALSE(same(seeds, seedlings, {0, 300, 400, seeds.rows - 300}));
}

TEST_CASE("a tray's numbers don't stand on the one that it is butted against") {
  for (const LatticeKind lattice : {LatticeKind::square, LatticeKind::staggered})
    for (const cv::Point step : {cv::Point(4 * kPitch, 0), cv::Point(0, 3 * kPitch)}) {
      const Tray first = tray_at({100, 90}, lattice), second = tray_at(cv::Point(100, 90) + step, lattice);
      const cv::Mat alone = marked({first}), both = marked({first, second});
      CHECK(same(alone, both, hull(first) - cv::Size(kPitch / 2, 0)));
      const cv::Rect cells = hull(second);
      const cv::Mat plain(both.size(), CV_8UC3, cv::Scalar::all(90));
      const cv::Rect beyond = step.y == 0 ? cv::Rect(cells.br().x + kPitch / 2, cells.y, kPitch, cells.height)
                                          : cv::Rect(cells.x, cells.br().y, cells.width, kPitch);
      CHECK_FALSE(same(both, plain, beyond));
    }
}

TEST_CASE("of several trays each has its name beyond its rim and a line of the legend") {
  const std::vector<Tray> trays = {tray_at({60, 120}), tray_at({240, 120})};
  const cv::Mat first = marked_with_legend({trays[0]}), second = marked_with_legend({trays[1]}),
                both = marked_with_legend(trays);
  CHECK(both.rows - kPhoto.height == 2 * (first.rows - kPhoto.height));

  cv::Mat unnamed = first(kPhoto).clone(), change;
  second(cv::Rect(200, 0, 200, 300)).copyTo(unnamed(cv::Rect(200, 0, 200, 300)));
  cv::absdiff(unnamed, both(kPhoto), change);
  cv::inRange(change, cv::Scalar::all(1), cv::Scalar::all(255), change);
  for (const Tray& tray : trays) {
    const cv::Rect cells = hull(tray);
    const cv::Rect numbered(cells.tl() - cv::Point(kPitch, kPitch), cells.br());
    const cv::Rect around(cells.tl() - cv::Point(2 * kPitch, 2 * kPitch),
                          cells.br() + cv::Point(2 * kPitch, 2 * kPitch));
    CHECK(cv::countNonZero(change(numbered)) == 0);
    CHECK(cv::countNonZero(change(around & kPhoto)) > 0);
  }
}

TEST_CASE("the names of trays that are butted don't stand on cells") {
  for (const cv::Point step : {cv::Point(4 * kPitch, 0), cv::Point(0, 3 * kPitch)}) {
    const Tray first = tray_at({100, 90}), second = tray_at(cv::Point(100, 90) + step);
    const cv::Mat both = marked({first, second});
    for (const Tray& tray : {first, second})  // its numbers reach over the edge of its cells
      CHECK(same(marked({tray}), both, hull(tray) + cv::Point(4, 4) - cv::Size(8, 8)));
  }
}
