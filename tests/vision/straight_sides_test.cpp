// SPDX-License-Identifier: Apache-2.0
#include "vision/straight_sides.h"

#include <doctest/doctest.h>

#include <opencv2/imgproc.hpp>

using namespace braird::vision;

namespace {

/// Huber's loss, by which such lines are told apart.
double loss(const Line& line, const std::vector<cv::Point2f>& points) {
  double sum = 0;
  for (const cv::Point2f& p : points) {
    const double off = std::abs(line.direction.cross(cv::Point2d(p) - line.point));
    sum += off < 1.345 ? off * off / 2 : 1.345 * (off - 1.345 / 2);
  }
  return sum;
}

}  // namespace

TEST_CASE("a line goes through points as OpenCV's does, some of them far off") {
  cv::RNG random(7);
  for (int turn = 0; turn < 12; ++turn) {
    const double angle = turn * CV_PI / 12;
    const cv::Point2d along(std::cos(angle), std::sin(angle)), across(-along.y, along.x);
    std::vector<cv::Point2f> points;
    for (int i = 0; i < 120; ++i) {
      const double off = i % 15 == 0 ? random.uniform(2.0, 8.0) : random.gaussian(0.4);
      points.emplace_back(cv::Point2d(300, 200) + along * (i - 60) + across * off);
    }
    const Line line = line_through(points);
    cv::Vec4f theirs;
    cv::fitLine(points, theirs, cv::DIST_HUBER, 0, 0.01, 0.01);
    const Line other{{theirs[2], theirs[3]}, {theirs[0], theirs[1]}};
    CHECK(std::abs(line.direction.cross(other.direction)) < 0.003);
    CHECK(std::abs(line.direction.cross(other.point - line.point)) < 0.2);
    CHECK(loss(line, points) < 1.001 * loss(other, points));
    CHECK(std::abs(along.cross(line.direction)) < 0.01);
  }
}

TEST_CASE("sides that a lens bends are found straight, with their corners; a round outline has none") {
  const cv::Size size(320, 240);
  const Lens bent{{159.5, 119.5}, 200, -0.06};
  const std::array<cv::Point2d, 4> corners{{{40, 30}, {290, 50}, {270, 215}, {30, 200}}};
  std::vector<cv::Point2f> outline;
  for (int side = 0; side < 4; ++side)
    for (int i = 0; i < 100; ++i)
      outline.emplace_back(
          distort(bent, corners[side] + (corners[(side + 1) % 4] - corners[side]) * (i / 100.0)));
  const auto sides = straight_sides(outline, {bent.middle, bent.half_diagonal, 0});
  REQUIRE(sides);
  CHECK(sides->lens.k1 == doctest::Approx(-0.06));
  for (const cv::Point2d& corner : corners) {
    double nearest = 1e9;
    for (const cv::Point2d& found : sides->corners) nearest = std::min(nearest, cv::norm(found - corner));
    CHECK(nearest < 1);
  }
  CHECK_FALSE(straight_sides({{0, 0}, {4, 0}, {4, 4}, {0, 4}}, bent));
}
