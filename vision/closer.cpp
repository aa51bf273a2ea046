// SPDX-License-Identifier: Apache-2.0
#include "vision/closer.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace braird::vision {

std::vector<cv::Point2f> outline_in_photo(const TrayQuad& quad, const LatticeMaps& maps) {
  std::vector<cv::Point2f> outline;
  for (const cv::Point2d& corner : quad.corners)
    outline.emplace_back(in_photo(distort(quad.lens, corner), maps));
  return outline;
}

bool lies_within(const TrayQuad& quad, const LatticeMaps& maps, const std::vector<cv::Point2f>& outline) {
  cv::Point2f middle{};
  for (const cv::Point2f& corner : outline_in_photo(quad, maps)) middle += corner * 0.25F;
  return cv::pointPolygonTest(outline, middle, false) > 0;
}

std::optional<LatticeMaps> closer_look(const cv::Mat& bgr, const LatticeMaps& maps,
                                       const std::vector<cv::Point2f>& outline, double beside,
                                       const Trace& trace) {
  constexpr double kWorthwhile = 1.2;  // times as many map pixels to one of the photo; a guess
  cv::Rect box = cv::boundingRect(outline);
  const int margin = cvCeil(beside * std::max(box.width, box.height));
  box = cv::Rect(box.x - margin, box.y - margin, box.width + 2 * margin, box.height + 2 * margin) &
        cv::Rect({0, 0}, bgr.size());
  if (box.empty() || map_scale_closer(box.size()) < kWorthwhile * maps.map_from_photo) return std::nullopt;
  return look_closer(bgr, box, trace);
}

Sight examine_closer(const LatticeMaps& maps, const LatticeMaps& first, const TrayQuad& first_quad,
                     const Hints& hints) {
  const auto outline = outline_in_photo(first_quad, first);
  Sight all;
  int looked_at = 0;
  for (const TrayQuad& quad : find_tray_quads(maps)) {
    if (!lies_within(quad, maps, outline)) continue;
    const Sight sight = examine(maps, quad, hints, &first);
    all.lattices.insert(all.lattices.end(), sight.lattices.begin(), sight.lattices.end());
    all.guesses.insert(all.guesses.end(), sight.guesses.begin(), sight.guesses.end());
    all.goes_on = all.goes_on || sight.goes_on;
    if (!all.trouble) all.trouble = sight.trouble;
    if (sight.partly) all.partly = sight.partly;
    all.leading = ++looked_at == 1 ? sight.leading : std::nullopt;
  }
  return all;
}

}  // namespace braird::vision
