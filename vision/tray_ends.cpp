// SPDX-License-Identifier: Apache-2.0
#include "vision/tray_ends.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/net/networks.h"
#include "vision/shrink.h"

namespace braird::vision {
namespace {

constexpr int kCell = 16;  // px of a strip; this and the next three as in training
constexpr double kInside = 1.75, kOutside = 1.25;
constexpr double kFewestCells = 12;
constexpr double kBeside = 1;  // cells
constexpr int kDepth = static_cast<int>(kCell * (kInside + kOutside));

/// Where a strip lies, in tray coordinates.
struct Place {
  cv::Point2d start;          ///< where the line enters it, at the outer edge of its first column
  cv::Point2d along, beyond;  ///< a cell along the side and a cell outwards
  int width = 0;              ///< px
};

Place place_of(const Lattice& lattice, int side, int back) {
  const cv::Rect2d hull = hull_of(lattice);
  const bool upright = side % 2 == 1, last = side == 1 || side == 2;
  const cv::Point2d corner = last ? hull.br() : hull.tl();
  const cv::Point2d along = upright ? cv::Point2d(0, 1) : cv::Point2d(1, 0);
  const cv::Point2d beyond = (upright ? cv::Point2d(1, 0) : cv::Point2d(0, 1)) * (last ? 1 : -1);
  const double cells = upright ? hull.height : hull.width;
  const double length = std::max(kFewestCells, cells + 2 * kBeside);
  const cv::Point2d line = upright ? cv::Point2d(corner.x, hull.y) : cv::Point2d(hull.x, corner.y);
  return {line - along * ((length - cells) / 2) - beyond * back, along, beyond, cvRound(length * kCell)};
}

/// The photo pixels that a strip's show at their middles, 32-bit float, two channels. Worked out for one in
/// `kEvery` each way; between them they are as good as linear.
cv::Mat photo_places(const Lattice& lattice, const Place& place) {
  constexpr int kEvery = 4;
  cv::Mat coarse(kDepth / kEvery + 2, place.width / kEvery + 2, CV_32FC2), places;  // one more all round
  const double step = 1.0 * kEvery / kCell;
  for (int y = 0; y < coarse.rows; ++y)
    for (int x = 0; x < coarse.cols; ++x)
      coarse.at<cv::Point2f>(y, x) = photo_point(lattice, place.start + place.along * ((x - 0.5) * step) +
                                                              place.beyond * ((y - 0.5) * step - kInside));
  cv::resize(coarse, places, {}, kEvery, kEvery, cv::INTER_LINEAR);
  return places(cv::Rect(kEvery, kEvery, place.width, kDepth));
}

/// By how much the photo is shrunk first, so that no photo pixel goes unseen; in steps, as in training.
double scale_for(double pitch) {
  constexpr double kWorthwhile = 0.8, kStepsAHalving = 4;
  const double scale = 1.15 * kCell / pitch;
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

void show(const std::vector<cv::Mat>& strips, const std::vector<LineChances>& chances, const Trace& trace) {
  for (std::size_t side = 0; trace && side < strips.size(); ++side) {
    cv::Mat bgr;
    cv::cvtColor(strips[side], bgr, cv::COLOR_BGRA2BGR);
    const auto& [ends, goes_on, hidden, beyond] = chances[side];
    trace(fmt::format("side-{}-ends-{:.4f}-goes-on-{:.4f}-hidden-{:.4f}-beyond-{:.4f}", side, ends, goes_on,
                      hidden, beyond),
          bgr);
  }
}

}  // namespace

cv::Mat strip_along(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice, int side, int back) {
  const Place place = place_of(lattice, side, back);
  const cv::Mat places = photo_places(lattice, place);
  const cv::Rect part = part_needed(places, frame);
  const double pitch = pitch_at(lattice, place.start + place.along * (0.5 * place.width / kCell));
  const cv::Mat seen = shrunk(bgr(part), scale_for(pitch));
  cv::Mat colours, shown, strip;
  cv::remap(seen, colours, in_picture(places, part, seen.size()), {}, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  cv::inRange(places, cv::Scalar(frame.x - 0.5, frame.y - 0.5),
              cv::Scalar(frame.br().x - 0.5, frame.br().y - 0.5), shown);
  colours.setTo(0, ~shown);
  cv::merge(std::vector{colours, shown}, strip);
  return strip;
}

cv::Mat strip_input(const cv::Mat& strip) {
  constexpr double kLeastSpread = 0.02 * 255;  // as in training
  cv::Mat shown, input = cv::Mat::zeros(strip.size(), CV_32FC4);
  cv::extractChannel(strip, shown, 3);
  cv::Scalar mean, spread;
  cv::meanStdDev(strip, mean, spread, shown);
  mean[3] = spread[3] = 0;
  const double scale = 1 / (cv::norm(spread) / std::sqrt(3) + kLeastSpread);
  cv::subtract(strip, mean, input, shown, CV_32F);
  cv::multiply(input, cv::Scalar(scale, scale, scale, 1 / 255.0), input);
  return input;
}

std::array<double, 4> chances_of_ends(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice,
                                      const Trace& trace) {
  std::vector<cv::Mat> strips(4), inputs(4);
  for (std::size_t side = 0; side < 4; ++side) {
    strips[side] = strip_along(bgr, frame, lattice, static_cast<int>(side));
    inputs[side] = strip_input(strips[side]);
  }
  const std::vector<LineChances> chances = line_chances(inputs);
  show(strips, chances, trace);
  return {chances[0][0], chances[1][0], chances[2][0], chances[3][0]};
}

double chance_of_seam(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice, bool upright,
                      int before) {
  const int behind = (upright ? lattice.cols : lattice.rows) - before;
  double least = 1;
  for (const auto& [side, back] : {std::pair(upright ? 1 : 2, behind), std::pair(upright ? 3 : 0, before)}) {
    const auto chances = line_chances({strip_input(strip_along(bgr, frame, lattice, side, back))});
    least = std::min<double>(least, chances[0][0]);
    if (least < 0.01) break;  // hardly any strip is asked about from both sides
  }
  return least;
}

}  // namespace braird::vision
