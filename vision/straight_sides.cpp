// SPDX-License-Identifier: Apache-2.0
#include "vision/straight_sides.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <tuple>

namespace braird::vision {
namespace {

using Points = std::vector<cv::Point2f>;

double distance(const Line& line, cv::Point2d p) {
  return std::abs(line.direction.cross(p - line.point));
}

std::optional<cv::Point2d> crossing(const Line& a, const Line& b) {
  const double area = a.direction.cross(b.direction);
  if (std::abs(area) < 0.05) return std::nullopt;
  return a.point + a.direction * ((b.point - a.point).cross(b.direction) / area);
}

/// The convex outline's four most telling corners, found by coarsening it until four are left.
Points four_corners(const Points& outline) {
  Points hull, quad;
  cv::convexHull(outline, hull);
  const double length = cv::arcLength(hull, true);
  for (int step = 0; step <= 26; ++step) {
    cv::approxPolyDP(hull, quad, (0.02 + 0.005 * step) * length, true);
    if (quad.size() <= 4) break;
  }
  if (quad.size() != 4) {
    std::array<cv::Point2f, 4> box;
    cv::minAreaRect(outline).points(box.data());
    quad.assign(box.begin(), box.end());
  }
  if (cv::contourArea(quad, true) < 0) std::reverse(quad.begin(), quad.end());
  return quad;
}

/// The outline's points that belong to the side from a to b, leaving its ends (rounded corners) out.
Points side_points(const Points& outline, cv::Point2d a, cv::Point2d b) {
  const cv::Point2d along = b - a;
  const double length2 = along.dot(along), reach = 0.06 * std::sqrt(length2) + 3;
  Points result;
  for (const cv::Point2f& p : outline) {
    const double t = (cv::Point2d(p) - a).dot(along) / length2;
    if (t > 0.08 && t < 0.92 && std::abs(along.cross(cv::Point2d(p) - a)) / std::sqrt(length2) < reach)
      result.push_back(p);
  }
  return result;
}

constexpr double kNone = 1e8;

struct Sides {
  std::array<cv::Point2d, 4> corners;
  double residual = 10 * kNone;  ///< r.m.s., px
};

Sides fit_sides(const Points& outline) {
  const Points rough = four_corners(outline);
  std::array<Line, 4> lines;
  double square = 0;
  std::size_t count = 0;
  for (int i = 0; i < 4; ++i) {
    const Points points = side_points(outline, rough[i], rough[(i + 1) % 4]);
    if (points.size() < 8) return {};
    lines[i] = line_through(points);
    for (const cv::Point2f& p : points) square += std::pow(std::min(4.0, distance(lines[i], p)), 2);
    count += points.size();
  }
  Sides sides;
  for (int i = 0; i < 4; ++i) {
    const auto corner = crossing(lines[(i + 3) % 4], lines[i]);
    if (!corner) return {};
    sides.corners[i] = *corner;
  }
  sides.residual = std::sqrt(square / static_cast<double>(count));
  return sides;
}

}  // namespace

Line line_through(const std::vector<cv::Point2f>& points) {
  constexpr double kStray = 1.345;  // px
  constexpr int kRounds = 8;
  Line line;
  for (int round = 0; round < kRounds; ++round) {
    double all = 0, xx = 0, xy = 0, yy = 0;
    cv::Point2d sum{};
    std::vector<double> weights(points.size(), 1);
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (round > 0) weights[i] = std::min(1.0, kStray / distance(line, points[i]));
      all += weights[i];
      sum += weights[i] * cv::Point2d(points[i]);
    }
    line.point = sum / all;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const cv::Point2d off = cv::Point2d(points[i]) - line.point;
      xx += weights[i] * off.x * off.x;
      xy += weights[i] * off.x * off.y;
      yy += weights[i] * off.y * off.y;
    }
    const double angle = std::atan2(2 * xy, xx - yy) / 2;
    line.direction = {std::cos(angle), std::sin(angle)};
  }
  return line;
}

// From a plain lens on, while the sides become straighter.
std::optional<StraightSides> straight_sides(const Points& outline, Lens lens) {
  constexpr double kStep = 0.02;
  constexpr int kMostSteps = 6, kPatience = 2;
  const auto at = [&](int step) {
    lens.k1 = kStep * step;
    Points flat;
    for (const cv::Point2f& p : outline) flat.emplace_back(undistort(lens, p));
    const Sides sides = fit_sides(flat);
    return std::tuple(sides.residual + 0.01 * std::abs(step), sides, lens);
  };
  auto best = at(0);
  for (const int way : {1, -1})
    for (int step = 1, worse = 0; step <= kMostSteps && worse < kPatience; ++step) {
      const auto next = at(way * step);
      const bool better = std::get<0>(next) < std::get<0>(best);
      worse = better ? 0 : worse + 1;
      if (better) best = next;
    }
  const auto& [residual, sides, straightest] = best;
  if (residual >= kNone) return std::nullopt;
  return StraightSides{sides.corners, straightest};
}

}  // namespace braird::vision
