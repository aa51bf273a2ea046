// SPDX-License-Identifier: Apache-2.0
#include "vision/seams.h"

#include <algorithm>
#include <numeric>
#include <opencv2/imgproc.hpp>

namespace braird::vision {
namespace {

constexpr int kSide = 256;
constexpr int kNarrowest = 20;      // of it: no tray is narrower
constexpr int kFlank = 16;          // how far from a seam the region is bright again
constexpr double kDepth = 0.15;     // how much darker than its flanks, of the map's 0 to 1; a guess
constexpr double kDarkShare = 0.9;  // of its length a seam is dark, where a stain must not pass for one
constexpr int kSway = 7;            // within so many px it need not run straight

/// The deepest valley of a profile along one axis.
Seam deepest_valley(const std::vector<float>& profile, bool upright) {
  Seam best;
  best.upright = upright;
  for (int i = kNarrowest; i < kSide - kNarrowest; ++i) {
    const float left = *std::max_element(&profile[i - kFlank], &profile[i]);
    const float right = *std::max_element(&profile[i + 1], &profile[i + kFlank + 1]);
    const double depth = std::min(left, right) - profile[i];
    if (depth <= best.depth) continue;
    const float shore = profile[i] + static_cast<float>(depth / 2);
    int first = i, last = i;
    while (first > 0 && profile[first - 1] < shore) --first;
    while (last + 1 < kSide && profile[last + 1] < shore) ++last;
    best.begin = static_cast<double>(first) / kSide, best.end = (last + 1.0) / kSide;
    best.depth = depth;
  }
  return best;
}

/// How bright the region is along each line across the way, in the mean. Of a tray that the frame cuts, a
/// part split off at a stain would pass for a whole one: there nearly all of the line must be dark.
std::vector<float> profile_of(const cv::Mat& lines, bool cut) {
  cv::Mat mean, dark;
  cv::reduce(lines, mean, 0, cv::REDUCE_AVG);
  if (cut) {
    cv::erode(lines, dark, cv::Mat::ones(1, kSway, CV_8U));
    cv::sort(dark, dark, cv::SORT_EVERY_COLUMN | cv::SORT_ASCENDING);
    cv::max(mean, dark.row(cvFloor(kDarkShare * kSide)), mean);
  }
  return {mean.begin<float>(), mean.end<float>()};
}

TrayQuad part_of(const TrayQuad& quad, const cv::Rect2d& part) {
  const cv::Matx33d plane = plane_of(quad.corners);
  TrayQuad result = quad;
  result.corners = {project(plane, part.tl()), project(plane, {part.br().x, part.y}),
                    project(plane, part.br()), project(plane, {part.x, part.br().y})};
  result.area = quad.area * part.area();
  return result;
}

}  // namespace

cv::Matx33d plane_of(const std::array<cv::Point2d, 4>& corners) {
  const std::array<cv::Point2f, 4> from{cv::Point2f(0, 0), {1, 0}, {1, 1}, {0, 1}};
  std::array<cv::Point2f, 4> to;
  std::copy(corners.begin(), corners.end(), to.begin());
  return cv::getPerspectiveTransform(from.data(), to.data());
}

Seam deepest_seam(const cv::Mat& region, const TrayQuad& quad) {
  const cv::Mat seen = square_on(region, quad, kSide);
  const bool cut = !quad.cut_side.empty();
  const Seam upright = deepest_valley(profile_of(seen, cut), true);
  const Seam level = deepest_valley(profile_of(seen.t(), cut), false);
  return upright.depth >= level.depth ? upright : level;
}

std::array<TrayQuad, 2> halves(const TrayQuad& quad, const Seam& seam) {
  const auto span = [&](double from, double to) {
    return seam.upright ? cv::Rect2d(from, 0, to - from, 1) : cv::Rect2d(0, from, 1, to - from);
  };
  return {part_of(quad, span(0, seam.begin)), part_of(quad, span(seam.end, 1))};
}

std::vector<TrayQuad> split_at_seams(const cv::Mat& region, const TrayQuad& quad) {
  const Seam seam = deepest_seam(region, quad);
  if (seam.depth < kDepth) return {quad};
  std::vector<TrayQuad> parts;
  for (const TrayQuad& half : halves(quad, seam))
    for (const TrayQuad& part : split_at_seams(region, half)) parts.push_back(part);
  return parts;
}

}  // namespace braird::vision
