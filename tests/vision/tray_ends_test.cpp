// SPDX-License-Identifier: Apache-2.0
#include "vision/tray_ends.h"

#include <doctest/doctest.h>

#include <numeric>
#include <opencv2/imgproc.hpp>

#include "vision/lattice.h"
#include "vision/lattice_maps.h"
#include "vision/net/networks.h"
#include "vision/photo.h"
#include "vision/sheet.h"

using namespace braird::vision;

namespace {

constexpr double kLevels = 10;  // of blue a cell of u, of green a cell of v
constexpr double kFirst = -5;   // the tray coordinate that is 0

/// Trays 40 px a cell, seen askew through a lens.
Lattice tray_of(int rows, int cols, double odd_row_shift = 0) {
  Lattice lattice;
  lattice.rows = rows, lattice.cols = cols;
  lattice.odd_row_shift = odd_row_shift;
  lattice.photo_from_plane = cv::Matx33d(39, 5, 200, -4, 40, 240, 3e-4, -2e-4, 1);
  lattice.lens = {{449.5, 399.5}, 602, 0.04};
  return lattice;
}

/// A photo each of whose colours tells its place in the tray.
cv::Mat telling_photo(const Lattice& lattice, cv::Size size) {
  cv::Mat photo(size, CV_8UC3);
  const cv::Matx33d plane_from_photo = lattice.photo_from_plane.inv();
  for (int y = 0; y < size.height; ++y)
    for (int x = 0; x < size.width; ++x) {
      const cv::Point2d tray = project(plane_from_photo, undistort(lattice.lens, cv::Point2d(x, y)));
      photo.at<cv::Vec3b>(y, x) = {cv::saturate_cast<uchar>(kLevels * (tray.x - kFirst)),
                                   cv::saturate_cast<uchar>(kLevels * (tray.y - kFirst)), 77};
    }
  return photo;
}

cv::Rect whole(const cv::Mat& photo) {
  return {{0, 0}, photo.size()};
}

/// Where px of the strip without `back` stand: `out` beyond the line and `along` from the side's first
/// corner, in cells.
cv::Point2d tray_place(const Lattice& lattice, int side, double out, double along) {
  const double left = std::min(0.0, lattice.odd_row_shift) - 0.5,
               right = lattice.cols - 0.5 + std::max(0.0, lattice.odd_row_shift);
  switch (side) {
    case 0:
      return {left + along, -0.5 - out};
    case 1:
      return {right + out, -0.5 + along};
    case 2:
      return {left + along, lattice.rows - 0.5 + out};
    default:
      return {left - out, -0.5 + along};
  }
}

/// Do a strip's colours tell of its places, but for rounding? `before`: cells before the side's first.
void check_places(const cv::Mat& strip, const Lattice& lattice, int side, int back, double before) {
  double farthest = 0;
  cv::Point2d sum;
  for (int y = 0; y < strip.rows; ++y)
    for (int x = 0; x < strip.cols; ++x) {
      const auto seen = strip.at<cv::Vec4b>(y, x);
      const cv::Point2d off =
          cv::Point2d(seen[0] / kLevels + kFirst, seen[1] / kLevels + kFirst) -
          tray_place(lattice, side, (y + 0.5) / 16 - 1.75 - back, (x + 0.5) / 16 - before);
      farthest = std::max({farthest, std::abs(off.x), std::abs(off.y)});
      sum += off;
    }
  CAPTURE(side);
  CAPTURE(back);
  CHECK(farthest < 1.1 / kLevels);                                   // rounded twice
  CHECK(cv::norm(sum) / static_cast<double>(strip.total()) < 0.02);  // halving rounds up
}

}  // namespace

TEST_CASE("a strip shows the places along its side, whatever the photo's scale") {
  for (const double factor : {0.5, 1.0, 1.5}) {
    const cv::Mat photo = telling_photo(scaled(tray_of(11, 13), factor),
                                        cv::Size(cvRound(900 * factor), cvRound(800 * factor)));
    for (const double shift : {0.0, 0.5, -0.5}) {
      CAPTURE(shift);
      CAPTURE(factor);
      const Lattice lattice = scaled(tray_of(11, 13, shift), factor);
      const std::array<double, 4> cells{13 + std::abs(shift), 11, 13 + std::abs(shift), 11};
      for (int side = 0; side < 4; ++side)
        for (const int back : {0, 2}) {
          const cv::Mat strip = strip_along(photo, whole(photo), lattice, side, back);
          REQUIRE(strip.size() == cv::Size(cvRound(16 * (cells[static_cast<std::size_t>(side)] + 2)), 48));
          check_places(strip, lattice, side, back, 1);
          CHECK(strip.at<cv::Vec4b>(24, 24)[2] == 77);
          CHECK(strip.at<cv::Vec4b>(24, 24)[3] == 255);
        }
    }
  }
}

TEST_CASE("strips are twelve cells long at least, their side in the middle") {
  const Lattice lattice = tray_of(9, 6);
  const cv::Mat photo = telling_photo(lattice, {900, 800});
  for (const auto& [side, before] : {std::pair(2, 3.0), std::pair(1, 1.5)}) {
    const cv::Mat strip = strip_along(photo, whole(photo), lattice, side);
    REQUIRE(strip.size() == cv::Size(192, 48));
    check_places(strip, lattice, side, 0, before);
  }
}

TEST_CASE("what lies beyond the frame is marked as not shown") {
  const Lattice lattice = tray_of(11, 13);
  const cv::Mat photo = telling_photo(lattice, {900, 800});
  const cv::Rect frame(190, 225, 400, 500);  // cuts the first row and column, and much of the last column
  for (int side = 0; side < 4; ++side) {
    CAPTURE(side);
    const cv::Mat strip = strip_along(photo, frame, lattice, side);
    int shown = 0, wrong = 0;
    for (int y = 0; y < strip.rows; ++y)
      for (int x = 0; x < strip.cols; ++x) {
        const cv::Point2d at =
            photo_point(lattice, tray_place(lattice, side, (y + 0.5) / 16 - 1.75, (x + 0.5) / 16 - 1));
        const double within = std::min({at.x - frame.x + 0.5, frame.br().x - 0.5 - at.x, at.y - frame.y + 0.5,
                                        frame.br().y - 0.5 - at.y});
        if (std::abs(within) < 0.1) continue;  // as near as places between computed ones are known
        const auto seen = strip.at<cv::Vec4b>(y, x);
        wrong += seen[3] != (within > 0 ? 255 : 0) || (within < 0 && seen != cv::Vec4b());
        shown += within > 0;
      }
    CHECK(wrong == 0);
    CHECK((side == 1 ? shown == 0 : shown > 1000));
  }
}

TEST_CASE("the network takes colours about their mean, in shares of their spread, where something is shown") {
  cv::Mat strip(48, 200, CV_8UC4, cv::Scalar(0, 0, 0, 255));
  cv::RNG(5).fill(strip, cv::RNG::UNIFORM, cv::Scalar(0, 50, 100, 255), cv::Scalar(100, 150, 200, 256));
  strip.rowRange(30, 48).setTo(0);
  const cv::Mat input = about_mean(strip), shown = input.rowRange(0, 30);
  REQUIRE(input.type() == CV_32FC4);
  CHECK(cv::norm(input.rowRange(30, 48), cv::NORM_INF) == 0);
  cv::Scalar mean, spread;
  cv::meanStdDev(shown, mean, spread);
  const double even = 100 / std::sqrt(12);
  for (int channel = 0; channel < 3; ++channel) {
    CHECK(std::abs(mean[channel]) < 1e-5);
    CHECK(spread[channel] == doctest::Approx(even / (even + 0.02 * 255)).epsilon(0.03));
  }
  CHECK(mean[3] == doctest::Approx(1));
  CHECK(cv::norm(about_mean(cv::Mat::zeros(48, 200, CV_8UC4)), cv::NORM_INF) == 0);
}

TEST_CASE("a line is told by its own strip alone, whatever else is looked at") {
  const Lattice lattice = tray_of(11, 13);
  const cv::Mat photo = telling_photo(lattice, {900, 800});
  std::vector<cv::Mat> inputs;
  for (int side = 0; side < 4; ++side)
    inputs.push_back(about_mean(strip_along(photo, whole(photo), lattice, side)));
  const std::vector<LineChances> chances = line_chances(inputs);
  const auto ends = chances_of_ends(photo, whole(photo), lattice);
  for (std::size_t side = 0; side < 4; ++side) {
    const LineChances alone = line_chances({inputs[side]}).at(0);
    CHECK(std::accumulate(alone.begin(), alone.end(), 0.0) == doctest::Approx(1));
    CHECK(alone[0] == doctest::Approx(chances[side][0]).epsilon(1e-4));
    CHECK(ends[side] == doctest::Approx(chances[side][0]).epsilon(1e-4));
  }
}

TEST_CASE("the frame in the photo leaves its bars out, and nothing where there are none") {
  LatticeMaps maps;
  maps.region = cv::Mat::zeros(240, 320, CV_32F);
  maps.map_from_photo = 320.0 / 4000;
  maps.frame = {0, 0, 320, 240};
  CHECK(frame_in_photo(maps, {4000, 3001}) == cv::Rect(0, 0, 4000, 3001));
  maps.frame = {40, 0, 250, 200};  // photo pixels 500 to 3625 and to 2500
  const cv::Rect frame = frame_in_photo(maps, {4000, 3001});
  CHECK(frame.x >= 500);
  CHECK(frame.x < 530);
  CHECK(frame.br().x <= 3625);
  CHECK(frame.br().x > 3595);
  CHECK(frame.y == 0);
  CHECK(frame.br().y <= 2500);
  CHECK(frame.br().y > 2470);
}

TEST_CASE("a tray half under a board is not taken for a smaller one, wherever the board begins") {
  const cv::Mat whole =
      load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/plug-128-brassica.jpg", Detail::counting)
          .bgr;
  REQUIRE(find_lattices(whole, {}).lattices.size() == 1);
  const Lattice lattice = find_lattices(whole, {}).lattices[0];
  for (const double rows_hidden : {1.0, 1.3, 2.0, 2.6}) {
    cv::Mat photo = whole.clone();
    const double first = lattice.rows - 0.5 - rows_hidden, last = lattice.rows + 1;
    std::vector<cv::Point> board;
    for (const cv::Point2d at : {cv::Point2d(-9, first), cv::Point2d(lattice.cols + 9, first),
                                 cv::Point2d(lattice.cols + 9, last), cv::Point2d(-9, last)})
      board.emplace_back(photo_point(lattice, at));
    cv::fillConvexPoly(photo, board, cv::Scalar(70, 90, 105), cv::LINE_AA);
    const LatticeSearch search = find_lattices(photo, {});
    CAPTURE(rows_hidden);
    CHECK(search.lattices.empty());
    CHECK(search.refusal.find("partly hidden") != std::string::npos);
    CHECK(search.refusal.find("if all of it shows, state its layout with --tray") != std::string::npos);
  }
}

TEST_CASE("trays whose seam doesn't show are told apart by the stated layout, which is remarked on") {
  const cv::Mat photo =
      load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/plug-128-brassica.jpg", Detail::counting)
          .bgr;
  Hints hints;
  hints.rows = hints.cols = 8;
  const LatticeSearch halves = find_lattices(photo, hints);
  REQUIRE(halves.lattices.size() == 2);
  for (const Lattice& half : halves.lattices) CHECK(std::pair(half.rows, half.cols) == std::pair(8, 8));
  REQUIRE(halves.remarks.size() == 1);
  CHECK(halves.remarks[0].find("as --tray says") != std::string::npos);
  hints.cols = 16;
  CHECK(find_lattices(photo, hints).remarks.empty());
  hints.cols = 15;  // not what is seen, nor a part of it
  CHECK(find_lattices(photo, hints).lattices.empty());
}
