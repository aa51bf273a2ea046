// SPDX-License-Identifier: Apache-2.0
#include "vision/sheet.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/shrink.h"

namespace braird::vision {
namespace {

/// The photo pixels that a sheet's show at their middles, 32-bit float, two channels. Worked out for one in
/// `kEvery` each way; between them they are as good as linear.
cv::Mat photo_places(const Lattice& lattice, const Sheet& sheet) {
  constexpr int kEvery = 8;
  const cv::Size size = sheet.size;
  cv::Mat coarse(size.height / kEvery + 2, size.width / kEvery + 2, CV_32FC2), places;  // one more all round
  const double step = 1.0 * kEvery / kSheetCell;
  for (int y = 0; y < coarse.rows; ++y)
    for (int x = 0; x < coarse.cols; ++x)
      coarse.at<cv::Point2f>(y, x) = photo_point(
          lattice, sheet.start + sheet.right * ((x - 0.5) * step) + sheet.down * ((y - 0.5) * step));
  cv::resize(coarse, places, {}, kEvery, kEvery, cv::INTER_LINEAR);
  return places({{kEvery, kEvery}, size});
}

/// By how much the photo is shrunk first, so that no photo pixel goes unseen; in steps, as in training.
double scale_for(double pitch) {
  constexpr double kWorthwhile = 0.8, kStepsAHalving = 4;
  const double scale = kFinestOnSheet / pitch;
  return scale < kWorthwhile ? std::exp2(std::ceil(std::log2(scale) * kStepsAHalving) / kStepsAHalving) : 1;
}

/// From the first pixel to the last that places along an axis need to be seen by, within the frame's; as many
/// as can be halved thrice, where there are so many.
cv::Range pixels_needed(const cv::Mat& axis, const cv::Range& frame) {
  constexpr int kMultiple = 8;
  double least = 0, most = 0;
  cv::minMaxLoc(axis, &least, &most);
  const int first = cvFloor(std::clamp(least, 1.0 * frame.start, frame.end - 1.0));
  const int last = cvCeil(std::clamp(most, 1.0 * first, frame.end - 1.0));
  const int size = std::min(frame.size(), (last - first + kMultiple) / kMultiple * kMultiple);
  const int start = std::min(first, frame.end - size);
  return {start, start + size};
}

cv::Rect part_needed(const cv::Mat& places, const cv::Rect& frame) {
  std::array<cv::Mat, 2> axes;
  cv::split(places, axes.data());
  const cv::Range x = pixels_needed(axes[0], {frame.x, frame.br().x}),
                  y = pixels_needed(axes[1], {frame.y, frame.br().y});
  return {x.start, y.start, x.size(), y.size()};
}

/// The same places in a picture made of this part of the photo; at either scale (0, 0) is the first pixel's
/// centre.
cv::Mat in_picture(const cv::Mat& places, const cv::Rect& part, cv::Size picture) {
  const double x = 1.0 * picture.width / part.width, y = 1.0 * picture.height / part.height;
  cv::Mat result;
  cv::transform(places, result, cv::Matx23d(x, 0, (0.5 - part.x) * x - 0.5, 0, y, (0.5 - part.y) * y - 0.5));
  return result;
}

}  // namespace

cv::Mat seen_on(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice, const Sheet& sheet) {
  const cv::Mat places = photo_places(lattice, sheet);
  const cv::Rect part = part_needed(places, frame);
  const cv::Point2d half = cv::Point2d(sheet.size) / (2.0 * kSheetCell);
  const double pitch = pitch_at(lattice, sheet.start + sheet.right * half.x + sheet.down * half.y);
  const cv::Mat seen = shrunk(bgr(part), scale_for(pitch));
  cv::Mat colours, shown, result;
  cv::remap(seen, colours, in_picture(places, part, seen.size()), {}, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  cv::inRange(places, cv::Scalar(frame.x - 0.5, frame.y - 0.5),
              cv::Scalar(frame.br().x - 0.5, frame.br().y - 0.5), shown);
  colours.setTo(0, ~shown);
  cv::merge(std::vector{colours, shown}, result);
  return result;
}

cv::Mat about_mean(const cv::Mat& seen) {
  constexpr double kLeastSpread = 0.02 * 255;  // as in training
  cv::Mat shown, input = cv::Mat::zeros(seen.size(), CV_32FC4);
  cv::extractChannel(seen, shown, 3);
  cv::Scalar mean, spread;
  cv::meanStdDev(seen, mean, spread, shown);
  mean[3] = spread[3] = 0;
  const double scale = 1 / (cv::norm(spread) / std::sqrt(3) + kLeastSpread);
  cv::subtract(seen, mean, input, shown, CV_32F);
  cv::multiply(input, cv::Scalar(scale, scale, scale, 1 / 255.0), input);
  return input;
}

}  // namespace braird::vision
