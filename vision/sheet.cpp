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

/// By how much the photo is shrunk first, halved as often as a spot would leave pixels unseen.
double scale_for(double pitch) {
  constexpr double kMost = 4 * kSheetCell;  // px a cell
  return std::exp2(-std::max(0.0, std::ceil(std::log2(pitch / kMost))));
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

/// What a picture shows at these places, each a spot about as large as in training (a little sharper, chosen on
/// painted photos): the mean of four places about it, one alone where pixels are as large as that.
cv::Mat spots(const cv::Mat& picture, const cv::Mat& places) {
  constexpr double kSpot = 0.12;  // variance across, sheet pixels squared
  const auto at = [&](int right, int down) {
    return cv::Point2d(places.at<cv::Point2f>(places.rows / 2 + down, places.cols / 2 + right));
  };
  const cv::Point2d right = at(1, 0) - at(0, 0), down = at(0, 1) - at(0, 0);
  const double pixel = 1 / std::sqrt(std::abs(right.cross(down)));
  const double off = std::sqrt(std::max(0.0, kSpot - pixel * pixel / 4));  // what interpolation blurs, too
  cv::Mat seen;
  if (off == 0) {
    cv::remap(picture, seen, places, {}, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
    return seen;
  }
  cv::Mat sum = cv::Mat::zeros(places.size(), CV_32FC(picture.channels()));
  for (const cv::Point2d& to : {right + down, right - down, down - right, -right - down}) {
    cv::remap(picture, seen, places + cv::Scalar(off * to.x, off * to.y), {}, cv::INTER_LINEAR,
              cv::BORDER_REPLICATE);
    cv::accumulate(seen, sum);
  }
  sum.convertTo(seen, CV_8U, 0.25);
  return seen;
}

}  // namespace

cv::Mat seen_on(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice, const Sheet& sheet) {
  const cv::Mat places = photo_places(lattice, sheet);
  const cv::Rect part = part_needed(places, frame);
  const cv::Point2d half = cv::Point2d(sheet.size) / (2.0 * kSheetCell);
  const double pitch = pitch_at(lattice, sheet.start + sheet.right * half.x + sheet.down * half.y);
  const cv::Mat seen = shrunk(bgr(part), scale_for(pitch));
  cv::Mat colours = spots(seen, in_picture(places, part, seen.size())), shown, result;
  cv::inRange(places, cv::Scalar(frame.x - 0.5, frame.y - 0.5),
              cv::Scalar(frame.br().x - 0.5, frame.br().y - 0.5), shown);
  colours.setTo(0, ~shown);
  cv::merge(std::vector{colours, shown}, result);
  return result;
}

cv::Mat about_mean(const cv::Mat& seen) {
  constexpr double kLeastSpread = 0.02 * 255;  // as in training
  cv::Scalar mean, spread;
  cv::meanStdDev(seen, mean, spread);
  const double shown = mean[3] / 255;  // elsewhere all are 0 and count for nothing
  cv::Matx44d change = cv::Matx44d::zeros();
  double square = 0;
  for (int c = 0; c < 3 && shown > 0; ++c) {
    const double own = mean[c] / shown;
    square += (spread[c] * spread[c] + mean[c] * mean[c]) / shown - own * own;
    change(c, c) = 1, change(c, 3) = -own / 255;
  }
  change *= 1 / (std::sqrt(std::max(0.0, square) / 3) + kLeastSpread);
  change(3, 3) = 1 / 255.0;
  cv::Mat input;
  seen.convertTo(input, CV_32F);
  cv::transform(input, input, change);
  return input;
}

}  // namespace braird::vision
