// SPDX-License-Identifier: Apache-2.0
// Pieces of a photo about a lattice, laid flat.
#pragma once

#include <opencv2/core.hpp>

#include "vision/geometry.h"

namespace braird::vision {

constexpr int kSheetCell = 16;                        ///< px a cell of a sheet, as in training
constexpr double kFinestOnSheet = 1.15 * kSheetCell;  ///< px a cell of a picture, of which a sheet shows all

/// A rectangle in tray coordinates.
struct Sheet {
  cv::Point2d start;        ///< its first pixel's outer corner
  cv::Point2d right, down;  ///< a cell's width along its rows of pixels, and along its columns
  cv::Size size;            ///< px, multiples of 8
};

/// What a photo shows there: 8-bit; blue, green, red and 255 where it shows something; elsewhere all are 0.
/// `bgr`: the photo, 8-bit; `frame`: its part that shows something.
cv::Mat seen_on(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice, const Sheet& sheet);

/// The same as networks take it: 32-bit float; colours about their mean over what is shown, in units of their
/// spread, and 1 where something is, else 0.
cv::Mat about_mean(const cv::Mat& seen);

}  // namespace braird::vision
