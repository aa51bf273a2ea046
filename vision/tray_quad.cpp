// SPDX-License-Identifier: Apache-2.0
#include "vision/tray_quad.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <tuple>
#include <utility>

#include "vision/cores.h"
#include "vision/seams.h"
#include "vision/steps_between_trays.h"

namespace braird::vision {
namespace {

using Points = std::vector<cv::Point2f>;

constexpr double kSmallestTray = 0.01;  // share of the map
constexpr double kFrameBand = 2.5;      // px: an outline this near the frame's edge lies on it
constexpr double kCutShare = 0.12;      // share of the outline along one edge of the frame that tells a cut

struct Line {
  cv::Point2d point, direction;
};

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

Line fit(const Points& points) {
  cv::Vec4f v;
  cv::fitLine(points, v, cv::DIST_HUBER, 0, 0.01, 0.01);
  return {{v[2], v[3]}, {v[0], v[1]}};
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

struct Sides {
  std::array<cv::Point2d, 4> corners;
  double residual = 1e9;  ///< r.m.s., px
};

Sides fit_sides(const Points& outline) {
  const Points rough = four_corners(outline);
  std::array<Line, 4> lines;
  double square = 0;
  std::size_t count = 0;
  for (int i = 0; i < 4; ++i) {
    const Points points = side_points(outline, rough[i], rough[(i + 1) % 4]);
    if (points.size() < 8) return {};
    lines[i] = fit(points);
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

/// The lens under which the outline's sides are straightest: from a plain one on, while they become
/// straighter.
std::pair<Sides, Lens> straighten(const Points& outline, Lens lens) {
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
  return {std::get<1>(best), std::get<2>(best)};
}

/// The points of an outline that border a part of the quad that it makes.
Outline bordering(const Outline& outline, const TrayQuad& part) {
  const cv::Matx33d unit = plane_of(part.corners).inv();
  Outline result;
  for (const cv::Point& p : outline) {
    const cv::Point2d at = project(unit, undistort(part.lens, p));
    if (std::max(std::abs(at.x - 0.5), std::abs(at.y - 0.5)) < 0.55) result.push_back(p);
  }
  return result;
}

/// The edge of the frame along which much of the outline runs; empty if none.
std::string cut_side(const Outline& outline, const cv::Rect& frame) {
  std::array<int, 4> along{};
  for (const cv::Point& p : outline) {
    along[0] += p.x < frame.x + kFrameBand;
    along[1] += p.x > frame.x + frame.width - 1 - kFrameBand;
    along[2] += p.y < frame.y + kFrameBand;
    along[3] += p.y > frame.y + frame.height - 1 - kFrameBand;
  }
  const auto most = std::max_element(along.begin(), along.end());
  if (*most < kCutShare * static_cast<double>(outline.size())) return "";
  static const std::array<const char*, 4> names{"left", "right", "upper", "lower"};
  return names[most - along.begin()];
}

/// Whether parts that are whole in the photo are about as large as one another. Trays that are butted
/// together along a whole side are of one make; a hose or a label across a tray leaves parts that differ.
bool alike(const std::vector<TrayQuad>& parts) {
  constexpr double kMostRatio = 1.4;
  double least = 1e9, most = 0;
  for (const TrayQuad& part : parts)
    if (part.cut_side.empty()) least = std::min(least, part.area), most = std::max(most, part.area);
  return most <= kMostRatio * least;
}

/// As many of an outline's points as tell where its sides run.
Points thinned(const Outline& outline) {
  constexpr std::size_t kEnough = 500;
  Points points;
  for (std::size_t i = 0; i < outline.size(); i += 1 + outline.size() / kEnough)
    points.emplace_back(outline[i]);
  return points;
}

std::optional<TrayQuad> to_quad(const Outline& outline, cv::Size size, const Lens& lens) {
  const double area = cv::contourArea(outline) / size.area();
  if (area < kSmallestTray) return std::nullopt;
  TrayQuad quad;
  quad.area = area;
  const auto [sides, best_lens] = straighten(thinned(outline), lens);
  if (sides.residual > 1e8) return std::nullopt;
  quad.corners = sides.corners;
  quad.lens = best_lens;
  return quad;
}

/// The quads of an outline's parts; those are split further where seams or steps run across.
std::vector<TrayQuad> split_further(const Outline& outline, const LatticeMaps& maps) {
  const auto quad = to_quad(outline, maps.region.size(), maps.lens);
  if (!quad) return {};
  const auto with_cuts = [&](std::vector<TrayQuad> parts) {
    for (TrayQuad& part : parts) part.cut_side = cut_side(bordering(outline, part), maps.frame);
    return parts;
  };
  const TrayQuad whole = with_cuts({*quad}).front();
  std::vector<TrayQuad> parts = with_cuts(split_at_seams(maps.region, whole)), quads;
  if (!alike(parts)) parts = {whole};
  for (const TrayQuad& part : parts) {
    const std::vector<TrayQuad> closer = with_cuts(split_at_steps(maps, part));
    if (alike(closer))
      quads.insert(quads.end(), closer.begin(), closer.end());
    else
      quads.push_back(part);
  }
  return quads;
}

std::vector<TrayQuad> trays_in(const Outline& region, const LatticeMaps& maps) {
  const std::vector<Outline> parts = told_apart(region, maps.core);
  std::vector<TrayQuad> quads;
  for (const Outline& part : parts)
    for (const TrayQuad& quad : split_further(part, maps)) quads.push_back(quad);
  return parts.size() > 1 && !alike(quads) ? split_further(region, maps) : quads;
}

}  // namespace

cv::Mat square_on(const cv::Mat& map, const TrayQuad& quad, int side) {
  constexpr int kEvery =
      8;  // of its pixels' places that are worked out; between them they are as good as linear
  const cv::Matx33d plane = plane_of(quad.corners);
  cv::Mat coarse(side / kEvery + 2, side / kEvery + 2, CV_32FC2), places, result;  // one more all round
  const double step = 1.0 * kEvery / side;
  for (int y = 0; y < coarse.rows; ++y)
    for (int x = 0; x < coarse.cols; ++x)
      coarse.at<cv::Point2f>(y, x) = distort(quad.lens, project(plane, {(x - 0.5) * step, (y - 0.5) * step}));
  cv::resize(coarse, places, {}, kEvery, kEvery, cv::INTER_LINEAR);
  cv::remap(map, result, places(cv::Rect(kEvery, kEvery, side, side)), {}, cv::INTER_LINEAR);
  return result;
}

std::vector<TrayQuad> find_tray_quads(const LatticeMaps& maps) {
  cv::Mat inside = maps.region > 0.5;
  cv::morphologyEx(inside, inside, cv::MORPH_OPEN, cv::getStructuringElement(cv::MORPH_ELLIPSE, {5, 5}));
  std::vector<Outline> outlines;
  cv::findContours(inside, outlines, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  std::vector<TrayQuad> quads;
  for (const Outline& outline : outlines)
    for (TrayQuad& part : trays_in(outline, maps)) quads.push_back(std::move(part));
  std::sort(quads.begin(), quads.end(), [](const auto& a, const auto& b) { return a.area > b.area; });
  return quads;
}

}  // namespace braird::vision
