// SPDX-License-Identifier: Apache-2.0
#include "vision/tray_quad.h"

#include <algorithm>
#include <numeric>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <utility>

#include "vision/cores.h"
#include "vision/seams.h"
#include "vision/steps_between_trays.h"
#include "vision/straight_sides.h"

namespace braird::vision {
namespace {

constexpr double kSmallestTray = 0.01;  // share of the map
constexpr double kFrameBand = 2.5;      // px: an outline this near the frame's edge lies on it
constexpr double kCutShare = 0.12;      // share of the outline along one edge of the frame that tells a cut

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
  constexpr double kMostRatio = 1.4;  // of their areas; a guess
  double least = 1e9, most = 0;
  for (const TrayQuad& part : parts)
    if (part.cut_side.empty()) least = std::min(least, part.area), most = std::max(most, part.area);
  return most <= kMostRatio * least;
}

/// As many of an outline's points as tell where its sides run.
std::vector<cv::Point2f> thinned(const Outline& outline) {
  constexpr std::size_t kEnough = 500;
  std::vector<cv::Point2f> points;
  for (std::size_t i = 0; i < outline.size(); i += 1 + outline.size() / kEnough)
    points.emplace_back(outline[i]);
  return points;
}

std::optional<TrayQuad> to_quad(const Outline& outline, cv::Size size, const Lens& lens) {
  const double area = cv::contourArea(outline) / size.area();
  if (area < kSmallestTray) return std::nullopt;
  TrayQuad quad;
  quad.area = area;
  const auto sides = straight_sides(thinned(outline), lens);
  if (!sides) return std::nullopt;
  quad.corners = sides->corners;
  quad.lens = sides->lens;
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
