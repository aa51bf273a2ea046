// SPDX-License-Identifier: Apache-2.0
#include "tests/vision/drawn_labels.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/label_code.h"

namespace braird::test {
namespace {

constexpr int kDots = 12;  // of the printed card a module
constexpr int kQuiet = 4;  // modules

cv::Mat card_of(const std::string& text) {
  const cv::Mat code = vision::label_code(text);
  cv::Mat card(code.rows + 2 * kQuiet, code.cols + 2 * kQuiet, CV_8U, cv::Scalar(255));
  code.copyTo(card({kQuiet, kQuiet, code.cols, code.rows}));
  cv::resize(card, card, {}, kDots, kDots, cv::INTER_NEAREST);
  cv::cvtColor(card, card, cv::COLOR_GRAY2BGR);
  return card;
}

/// From the card (its middle at 0, modules as unit) to the photo, seen from 40 card widths away.
cv::Matx33d photo_from_card(const LabelPose& pose, double modules) {
  constexpr double degree = CV_PI / 180;
  const double axis = pose.tilt_axis_deg * degree, tilt = pose.tilt_deg * degree,
               turn = pose.turn_deg * degree;
  const auto about_z = [](double a) {
    return cv::Matx33d(std::cos(a), -std::sin(a), 0, std::sin(a), std::cos(a), 0, 0, 0, 1);
  };
  const cv::Matx33d about_x(1, 0, 0, 0, std::cos(tilt), -std::sin(tilt), 0, std::sin(tilt), std::cos(tilt));
  const cv::Matx33d rotated = about_z(turn) * about_z(axis) * about_x * about_z(-axis);
  const double away = 40 * modules, scale = pose.module_px / std::cos(tilt);
  // Columns: images of the card's x and y axes, and its middle, at depth `away`.
  const cv::Matx33d seen(rotated(0, 0), rotated(0, 1), 0, rotated(1, 0), rotated(1, 1), 0,
                         rotated(2, 0) / away, rotated(2, 1) / away, 1);
  return cv::Matx33d(scale, 0, pose.centre.x, 0, scale, pose.centre.y, 0, 0, 1) * seen;
}

}  // namespace

cv::Mat with_label(const cv::Mat& bgr, const std::string& text, const LabelPose& pose, std::mt19937& random) {
  const cv::Mat card = card_of(text);
  const double modules = static_cast<double>(card.cols) / kDots;
  const cv::Matx33d unit(1. / kDots, 0, -modules / 2, 0, 1. / kDots, -modules / 2, 0, 0, 1);
  const cv::Matx33d photo_from_dots = photo_from_card(pose, modules) * unit;
  // Drawn four times as large and averaged, as a lens and a sensor average.
  const double reach =
      pose.module_px / std::cos(pose.tilt_deg * CV_PI / 180) * modules + 4 * pose.blur_px + 8;
  const cv::Rect frame = cv::Rect(cvRound(pose.centre.x - reach), cvRound(pose.centre.y - reach),
                                  cvRound(2 * reach), cvRound(2 * reach)) &
                         cv::Rect({}, bgr.size());
  constexpr double fine = 4;
  const cv::Matx33d fine_from_photo(fine, 0, -fine * frame.x, 0, fine, -fine * frame.y, 0, 0, 1);
  cv::Mat large, mask, patch, cover;
  const cv::Size size(static_cast<int>(fine) * frame.width, static_cast<int>(fine) * frame.height);
  cv::warpPerspective(card, large, fine_from_photo * photo_from_dots, size, cv::INTER_LINEAR,
                      cv::BORDER_REPLICATE);
  cv::warpPerspective(cv::Mat(card.size(), CV_32F, cv::Scalar(1)), mask, fine_from_photo * photo_from_dots,
                      size);
  cv::resize(large, patch, frame.size(), 0, 0, cv::INTER_AREA);
  cv::resize(mask, cover, frame.size(), 0, 0, cv::INTER_AREA);
  if (pose.blur_px > 0) {
    cv::GaussianBlur(patch, patch, {}, pose.blur_px);
    cv::GaussianBlur(cover, cover, {}, pose.blur_px);
  }
  cv::Mat photo = bgr.clone();
  std::normal_distribution<double> noise(0, pose.noise);
  for (int y = 0; y < frame.height; ++y)
    for (int x = 0; x < frame.width; ++x) {
      cv::Vec3b& pixel = photo.at<cv::Vec3b>(frame.y + y, frame.x + x);
      const double share = cover.at<float>(y, x);
      if (share <= 0) continue;
      for (int c = 0; c < 3; ++c)  // printer's black is a dark grey, paper no pure white
        pixel[c] = cv::saturate_cast<unsigned char>(
            (1 - share) * pixel[c] + share * pose.light * (30 + 0.82 * patch.at<cv::Vec3b>(y, x)[c]) +
            share * noise(random));
    }
  return photo;
}

}  // namespace braird::test
