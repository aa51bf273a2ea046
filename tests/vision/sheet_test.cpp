// SPDX-License-Identifier: Apache-2.0
#include "vision/sheet.h"

#include <doctest/doctest.h>

#include <cmath>
#include <opencv2/imgproc.hpp>

using namespace braird::vision;

namespace {

constexpr int kRows = 6, kCols = 8;
const Sheet kWhole{{-0.5, -0.5}, {1, 0}, {0, 1}, {kSheetCell * kCols, kSheetCell* kRows}};

/// A lattice so many px a cell, a little turned, its hull's corner at the middle of a cell's width.
Lattice lattice_at(double pitch) {
  Lattice lattice;
  lattice.rows = kRows, lattice.cols = kCols;
  // The first pixel's outer corner stays where it is at every size.
  lattice.photo_from_plane =
      cv::Matx33d(pitch, 0.1 * pitch, 2 * pitch - 0.5, -0.1 * pitch, pitch, 2 * pitch - 0.5, 0, 0, 1);
  lattice.lens.half_diagonal = 1e3 * pitch;
  return lattice;
}

/// Grains a tenth of a cell across.
cv::Mat grainy_photo(int pitch) {
  cv::Mat grains(14 * 10, 14 * 10, CV_8UC3), photo;
  cv::RNG random(5);
  random.fill(grains, cv::RNG::UNIFORM, 0, 255);
  cv::resize(grains, photo, {14 * pitch, 14 * pitch}, 0, 0, cv::INTER_NEAREST);
  return photo;
}

cv::Mat sheet_of(const cv::Mat& photo, double pitch) {
  return seen_on(photo, {{0, 0}, photo.size()}, lattice_at(pitch), kWhole);
}

}  // namespace

TEST_CASE("a sheet shows the same, as sharply, of a photo at every size that shows all") {
  const cv::Mat photo = grainy_photo(160);
  const cv::Mat largest = sheet_of(photo, 160);
  cv::Scalar mean, spread;
  cv::meanStdDev(largest, mean, spread);
  for (const int pitch : {100, 70, 60, 45, 32, 25}) {
    CAPTURE(pitch);
    cv::Mat smaller;
    cv::resize(photo, smaller, {14 * pitch, 14 * pitch}, 0, 0, cv::INTER_AREA);
    const cv::Mat sheet = sheet_of(smaller, pitch);
    cv::Scalar own, sharp;
    cv::meanStdDev(sheet, own, sharp);
    const double off = cv::norm(sheet, largest, cv::NORM_L2) / std::sqrt(3.0 * sheet.total());
    CHECK(off < 0.2 * spread[0]);
    CHECK(sharp[0] == doctest::Approx(spread[0]).epsilon(0.1));
  }
}

TEST_CASE("a sheet's colours are about their mean where it shows something, and nothing elsewhere") {
  const cv::Mat photo = grainy_photo(24);
  cv::Mat seen = seen_on(photo, {60, 50, 160, 100}, lattice_at(24), kWhole), shown;
  cv::extractChannel(seen, shown, 3);
  REQUIRE(cv::countNonZero(shown) > 1000);
  REQUIRE(cv::countNonZero(shown) < 0.9 * shown.total());
  cv::Scalar mean, spread;
  cv::meanStdDev(seen, mean, spread, shown);
  const double unit =
      std::sqrt((spread[0] * spread[0] + spread[1] * spread[1] + spread[2] * spread[2]) / 3) + 0.02 * 255;
  const cv::Mat input = about_mean(seen);
  for (int y = 0; y < seen.rows; ++y)
    for (int x = 0; x < seen.cols; ++x)
      for (int c = 0; c < 4; ++c) {
        const bool there = shown.at<uchar>(y, x) > 0;
        const double wanted = !there ? 0 : c == 3 ? 1 : (seen.at<cv::Vec4b>(y, x)[c] - mean[c]) / unit;
        REQUIRE(input.at<cv::Vec4f>(y, x)[c] == doctest::Approx(wanted).epsilon(1e-4));
      }
  CHECK(cv::countNonZero(about_mean(cv::Mat::zeros(16, 16, CV_8UC4)).reshape(1)) == 0);
}
