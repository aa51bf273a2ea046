// SPDX-License-Identifier: Apache-2.0
// How a cell's marks are drawn: in the cell's own frame, with a pen as wide as the cell is large.
#pragma once

#include <opencv2/imgproc.hpp>
#include <string>
#include <vector>

#include "calibration/census.h"

namespace braird::vision {

constexpr int kFont = cv::FONT_HERSHEY_SIMPLEX;
constexpr double kFontHeight = 21;  // px of a capital at scale 1
inline const cv::Scalar kDark(25, 25, 25), kLight(245, 245, 245);

/// A cell's own axes in the photo: from its centre to its right and lower edge.
struct Frame {
  cv::Point2d centre, right, down;
  cv::Point at(double x, double y) const { return centre + x * right + y * down; }
};

inline cv::Point2d centre_of(const Cell& cell) {
  return {cell.centre_px.x, cell.centre_px.y};
}

/// Square to the row, on the side of the next rows, as long as gives the cell its area.
Frame frame_of(const Tray& tray, const Cell& cell);

/// The same cell, its axes swapped by quarter turns until "right" is right in the photo: marks look alike in
/// any pose.
Frame upright(const Frame& cell);

struct Pen {
  cv::Mat& picture;
  double size;  ///< px: half a cell
  int width() const;
  void line(const std::vector<cv::Point>& points, const cv::Scalar& colour, bool closed = false) const;
  void fill(const std::vector<cv::Point>& points, const cv::Scalar& colour) const;

  /// Text of a height of `share` of half a cell, its middle at `middle`.
  void text(const std::string& words, cv::Point2d middle, double share) const;
  cv::Size size_of(const std::string& words, double share) const;
};

void draw_state(const Pen& pen, const Frame& cell, CellState state);
void draw_review_flag(const Pen& pen, const Frame& cell);

}  // namespace braird::vision
