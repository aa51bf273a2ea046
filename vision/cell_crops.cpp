// SPDX-License-Identifier: Apache-2.0
#include "vision/cell_crops.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "calibration/require.h"

namespace braird::vision {
namespace {

constexpr int kSide = 220, kName = 30, kGap = 8;  // px of the picture
constexpr int kAcross = 5;
constexpr double kSeen = 2;  // cells across a crop

cv::Mat crop_of(const cv::Mat& bgr, double pitch_px, Point centre) {
  const double scale = kSide / (kSeen * pitch_px);
  const cv::Matx23d crop_from_photo(scale, 0, kSide / 2. - scale * centre.x, 0, scale,
                                    kSide / 2. - scale * centre.y);
  cv::Mat crop;
  cv::warpAffine(bgr, crop, crop_from_photo, {kSide, kSide}, scale > 1 ? cv::INTER_CUBIC : cv::INTER_AREA);
  return crop;
}

/// Ticks where the cell ends, white on black, so that they show on any ground.
void tick_bounds(cv::Mat& crop) {
  constexpr int near = static_cast<int>(kSide / 2.0 - kSide / kSeen / 2), far = kSide - near, tick = 14;
  for (const auto& [colour, thickness] : {std::pair(0, 3), std::pair(255, 1)})
    for (const int x : {near, far})
      for (const int y : {near, far}) {
        const int dx = x == near ? tick : -tick, dy = y == near ? tick : -tick;
        cv::line(crop, {x, y}, {x + dx, y}, cv::Scalar::all(colour), thickness);
        cv::line(crop, {x, y}, {x, y + dy}, cv::Scalar::all(colour), thickness);
      }
}

}  // namespace

cv::Mat cell_crops(const cv::Mat& bgr, double pitch_px, const std::vector<CropOrder>& orders) {
  require(pitch_px > 0, "pitch", pitch_px, "> 0");
  require(!orders.empty(), "number of cells", orders.size(), "> 0");
  const int across = std::min(kAcross, static_cast<int>(orders.size())),
            down = (static_cast<int>(orders.size()) + across - 1) / across;
  cv::Mat picture(down * (kSide + kName + kGap) + kGap, across * (kSide + kGap) + kGap, CV_8UC3,
                  cv::Scalar(32, 32, 32));
  for (int at = 0; at < static_cast<int>(orders.size()); ++at) {
    const CropOrder& order = orders[static_cast<std::size_t>(at)];
    const cv::Point corner(kGap + at % across * (kSide + kGap), kGap + at / across * (kSide + kName + kGap));
    cv::Mat crop = crop_of(bgr, pitch_px, order.centre_px);
    tick_bounds(crop);
    crop.copyTo(picture({corner.x, corner.y, kSide, kSide}));
    cv::putText(picture, order.name, {corner.x + 4, corner.y + kSide + 21}, cv::FONT_HERSHEY_SIMPLEX, 0.5,
                cv::Scalar::all(255), 1, cv::LINE_AA);
  }
  return picture;
}

}  // namespace braird::vision
