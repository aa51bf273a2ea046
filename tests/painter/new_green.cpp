// SPDX-License-Identifier: Apache-2.0
#include "tests/painter/new_green.h"

#include <array>
#include <opencv2/imgproc.hpp>

#include "vision/plants.h"

namespace braird {
namespace {

constexpr int kCell = 72;   // px a cell
constexpr int kStray = 8;   // px by which two photos' cells may be apart
constexpr int kInner = 58;  // px of a cell that are compared

cv::Point2f centre(const Tray& tray, int row, int col) {
  const Point& p = tray.cells[cell_index(tray.layout, row, col)].centre_px;
  return {static_cast<float>(p.x), static_cast<float>(p.y)};
}

/// A cell with what is around it, upright: its rows run to the right.
cv::Mat upright(const cv::Mat& bgr, const Tray& tray, int row, int col, int side) {
  const int last_col = tray.layout.cols - 1;
  const int other = col < last_col ? col + 1 : col - 1;
  const cv::Point2f at = centre(tray, row, col);
  cv::Point2f right = centre(tray, row, other) - at;
  if (other < col) right = -right;
  const cv::Point2f down(-right.y, right.x);
  const float middle = static_cast<float>(side) / 2;
  const std::array<cv::Point2f, 3> from{at, at + right, at + down},
      to{cv::Point2f(middle, middle), cv::Point2f(middle + kCell, middle),
         cv::Point2f(middle, middle + kCell)};
  cv::Mat seen;
  cv::warpAffine(bgr, seen, cv::getAffineTransform(from, to), {side, side}, cv::INTER_LINEAR,
                 cv::BORDER_REPLICATE);
  return seen;
}

cv::Scalar light_of(const cv::Mat& bgr, const Tray& tray) {
  std::vector<cv::Point> outline;
  for (const Point& p : tray.corners_px) outline.emplace_back(cvRound(p.x), cvRound(p.y));
  cv::Mat inside = cv::Mat::zeros(bgr.size(), CV_8U);
  cv::fillConvexPoly(inside, outline, 255);
  return cv::mean(bgr, inside);
}

cv::Mat green_of(const cv::Mat& seen, const cv::Scalar& light) {
  cv::Mat green = vision::excess_green(seen, light);
  cv::GaussianBlur(green, green, {}, 1.2);
  return green;
}

cv::Mat grey_of(const cv::Mat& seen) {
  cv::Mat grey;
  cv::cvtColor(seen, grey, cv::COLOR_BGR2GRAY);
  return grey;
}

/// Most by which `green` exceeds all that is near the same place in `before`.
double most_new(const cv::Mat& green, const cv::Mat& before) {
  cv::Mat near_before, more;
  cv::dilate(before, near_before, cv::getStructuringElement(cv::MORPH_ELLIPSE, {5, 5}));
  cv::subtract(green, near_before, more);
  double most = 0;
  cv::minMaxLoc(more, nullptr, &most);
  return most;
}

}  // namespace

std::vector<NewGreen> new_green(const cv::Mat& earlier, const Tray& earlier_tray, const cv::Mat& later,
                                const Tray& later_tray) {
  const cv::Scalar earlier_light = light_of(earlier, earlier_tray), later_light = light_of(later, later_tray);
  std::vector<NewGreen> cells;
  for (int row = 0; row < later_tray.layout.rows; ++row)
    for (int col = 0; col < later_tray.layout.cols; ++col) {
      const cv::Mat before = upright(earlier, earlier_tray, row, col, kInner + 2 * kStray),
                    now = upright(later, later_tray, row, col, kInner);
      cv::Mat likeness;
      cv::matchTemplate(grey_of(before), grey_of(now), likeness, cv::TM_CCOEFF_NORMED);
      cv::Point best;
      cv::minMaxLoc(likeness, nullptr, nullptr, nullptr, &best);
      const cv::Mat green_before = green_of(before, earlier_light)(cv::Rect(best, now.size())),
                    green_now = green_of(now, later_light);
      cells.push_back({most_new(green_now, green_before), most_new(green_before, green_now)});
    }
  return cells;
}

}  // namespace braird
