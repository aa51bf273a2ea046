// SPDX-License-Identifier: Apache-2.0
#include "vision/looks.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "vision/net/networks.h"

using namespace braird;
using namespace braird::vision;

namespace {

constexpr int kPx = 72;  // a cell

using Chances = cv::Vec<float, 10>;

Lattice lattice_of(int rows, int cols, double odd_row_shift = 0) {
  Lattice lattice;
  lattice.rows = rows, lattice.cols = cols;
  lattice.odd_row_shift = odd_row_shift;
  return lattice;
}

/// All cells empty but for these, which have one, two or three seedlings and so sure none.
cv::Mat mostly_sure(const Lattice& lattice, const std::vector<std::pair<cv::Point, float>>& unsure) {
  const int across = 2 * lattice.cols - 1 + (lattice.odd_row_shift != 0 ? 1 : 0);
  cv::Mat seen(lattice.rows, across, CV_32FC(10), cv::Scalar::all(0));
  seen.forEach<Chances>([](Chances& chances, const int*) { chances[0] = 1; });
  for (const auto& [place, none] : unsure) {
    auto& chances = seen.at<Chances>(place);
    chances = {};
    chances[0] = none, chances[1] = (1 - none) / 2, chances[2] = chances[3] = (1 - none) / 4;
  }
  return seen;
}

/// Cells that are all alike, with a margin of one all round.
cv::Mat tray_of_like_cells(int rows, int cols) {
  cv::RNG rng(21);
  cv::Mat cell(kPx, kPx, CV_8UC3), tray;
  rng.fill(cell, cv::RNG::UNIFORM, 0, 256);
  cv::GaussianBlur(cell, cell, {}, 3);
  cv::repeat(cell, rows + 1, cols + 1, tray);
  return tray;
}

/// As `asked` answers, and what it was asked about.
cv::Mat counted(const cv::Mat& tray, const std::vector<cv::Point>& places) {
  const cv::Mat sides = cv::Mat::zeros(tray.rows / 12, tray.cols / 12, CV_32FC(8));
  return count_chances(Model::counts, tray, sides, [&](const cv::Mat&) { return places; });
}

}  // namespace

TEST_CASE("cells whose state is unsure are doubtful, however unsure their number") {
  const Lattice lattice = lattice_of(12, 24, 0.5);
  const cv::Mat seen =
      mostly_sure(lattice, {{{6, 2}, 0.5F}, {{9, 3}, 0.55F}, {{0, 0}, 0.65F}, {{11, 5}, 0.02F}});
  const auto places = doubtful_places(seen, lattice);
  // (11, 5) has one or several, half by half; (7, 2) would be no cell.
  CHECK(std::ranges::is_permutation(places, std::vector<cv::Point>{{6, 2}, {9, 3}, {11, 5}}));
}

TEST_CASE("of many doubtful cells the least sure ones are looked at again, one in 24") {
  const Lattice lattice = lattice_of(12, 22);
  std::vector<std::pair<cv::Point, float>> unsure;
  std::vector<cv::Point> least;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; col += 2) {
      const cv::Point place(2 * col, row);
      unsure.emplace_back(place, unsure.size() % 12 == 5 ? 0.4F : 0.55F);
      if (unsure.back().second < 0.5F) least.push_back(place);
    }
  REQUIRE(least.size() == 11);
  CHECK(std::ranges::is_permutation(doubtful_places(mostly_sure(lattice, unsure), lattice), least));
}

TEST_CASE("another look changes the chances where there are doubts and nowhere else") {
  constexpr int kRows = 7, kCols = 9;
  const cv::Mat tray = tray_of_like_cells(kRows, kCols);
  const cv::Mat sides = cv::Mat::zeros(tray.rows / 12, tray.cols / 12, CV_32FC(8));
  const cv::Mat once = count_chances(Model::counts, tray, sides, 1);
  CHECK(cv::norm(counted(tray, {}), once, cv::NORM_INF) == 0);

  const std::vector<cv::Point> places{{8, 3}, {4, 2}, {12, 4}, {0, 6}};
  cv::Mat twice = counted(tray, places);
  for (const cv::Point& place : places) {
    const auto& chances = twice.at<Chances>(place);
    CHECK(std::accumulate(chances.val, chances.val + 10, 0.0) == doctest::Approx(1));
    CHECK(cv::norm(chances, once.at<Chances>(place), cv::NORM_INF) > 1e-4);
  }
  const auto again = [&](const cv::Point& place) {
    return 2 * twice.at<Chances>(place) - once.at<Chances>(place);
  };
  CHECK(cv::norm(again(places[1]), again(places[2]), cv::NORM_INF) < 0.02);  // like surroundings, like looks
  for (const cv::Point& place : places) twice.at<Chances>(place) = once.at<Chances>(place);
  CHECK(cv::norm(twice, once, cv::NORM_INF) == 0);
}
