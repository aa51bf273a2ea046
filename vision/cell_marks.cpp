// SPDX-License-Identifier: Apache-2.0
#include "vision/cell_marks.h"

#include <algorithm>
#include <cmath>

namespace braird::vision {
namespace {

// Okabe M, Ito K 2008, Color Universal Design; as BGR.
const cv::Scalar kVermilion(0, 94, 213), kSkyBlue(233, 180, 86), kYellow(66, 228, 240),
    kPurple(167, 121, 204);

double scale_of(const Pen& pen, double share) {
  return std::max(0.3, share * pen.size / kFontHeight);
}

int thickness_of(double scale) {
  return std::max(1, cvRound(2 * scale));
}

/// Half the step to the next cell along the row, or from the one before at the row's end.
cv::Point2d half_step_along(const Tray& tray, const Cell& cell) {
  const int from = std::min(cell.col, tray.layout.cols - 2);
  if (from < 0) return {tray.pitch_px / 2, 0};
  return (centre_of(cell_at(tray, cell.row, from + 1)) - centre_of(cell_at(tray, cell.row, from))) / 2;
}

}  // namespace

Frame frame_of(const Tray& tray, const Cell& cell) {
  const cv::Point2d right = half_step_along(tray, cell);
  const double length = std::max(1.0, cv::norm(right));
  const double down = tray.pitch_px * tray.pitch_px / 4 / length;
  return {centre_of(cell), right, cv::Point2d(-right.y, right.x) * (down / length)};
}

Frame upright(const Frame& cell) {
  if (std::abs(cell.right.x) >= std::abs(cell.right.y))
    return cell.right.x > 0 ? cell : Frame{cell.centre, -cell.right, -cell.down};
  return cell.right.y > 0 ? Frame{cell.centre, -cell.down, cell.right}
                          : Frame{cell.centre, cell.down, -cell.right};
}

int Pen::width() const {
  return std::max(1, cvRound(size / 14));
}

void Pen::line(const std::vector<cv::Point>& points, const cv::Scalar& colour, bool closed) const {
  cv::polylines(picture, points, closed, kDark, width() + 2, cv::LINE_AA);
  cv::polylines(picture, points, closed, colour, width(), cv::LINE_AA);
}

void Pen::fill(const std::vector<cv::Point>& points, const cv::Scalar& colour) const {
  cv::fillConvexPoly(picture, points, colour, cv::LINE_AA);
  cv::polylines(picture, points, true, kDark, 1, cv::LINE_AA);
}

void Pen::text(const std::string& words, cv::Point2d middle, double share) const {
  const double scale = scale_of(*this, share);
  const int thick = thickness_of(scale);
  const cv::Size box = size_of(words, share);
  const cv::Point origin = middle + cv::Point2d(-box.width / 2.0, box.height / 2.0);
  cv::putText(picture, words, origin, kFont, scale, kDark, thick + 3, cv::LINE_AA);
  cv::putText(picture, words, origin, kFont, scale, kLight, thick, cv::LINE_AA);
}

cv::Size Pen::size_of(const std::string& words, double share) const {
  const double scale = scale_of(*this, share);
  return cv::getTextSize(words, kFont, scale, thickness_of(scale), nullptr);
}

void draw_state(const Pen& pen, const Frame& cell, CellState state) {
  constexpr double kRim = 0.78;  // within the cell, beside its neighbour's marks
  switch (state) {
    case CellState::empty:
      pen.line({cell.at(0, -kRim), cell.at(kRim, 0), cell.at(0, kRim), cell.at(-kRim, 0)}, kVermilion, true);
      break;
    case CellState::single:
      pen.line({cell.at(-0.5, kRim), cell.at(0.5, kRim)}, kSkyBlue);
      break;
    case CellState::multiple:
      pen.line({cell.at(-kRim, -0.5), cell.at(-kRim, 0.5)}, kYellow);
      pen.line({cell.at(kRim, -0.5), cell.at(kRim, 0.5)}, kYellow);
      break;
  }
}

void draw_review_flag(const Pen& pen, const Frame& cell) {
  pen.fill({cell.at(0.9, -0.9), cell.at(0.25, -0.9), cell.at(0.9, -0.25)}, kPurple);
}

}  // namespace braird::vision
