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

cv::Mat marked(const std::vector<Tray>& trays) {
  Census census;
  census.trays = trays;
  return marked_photo(cv::Mat(300, 400, CV_8UC3, cv::Scalar::all(90)), census).rowRange(0, 300);
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
