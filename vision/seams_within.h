// SPDX-License-Identifier: Apache-2.0
// Does a lattice reach over two trays that touch?
//
//   +-----------------------------+
//   |   o   o   o || o   o   o    |
//   |   o   o   o || o   o   o    |
//   |   o   o   o || o   o   o    |
//   +-----------------------------+
//
// A network looks at the lattice laid flat, 16 px a cell, with a cell beside it all round: along each line
// between its rows and columns, and along each row and column (the rims of two trays may take as much room
// as one), for where one tray ends and the next begins.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/photo_senses.h"

namespace braird::vision {

/// Where trays of one make would meet and seem to end, so slight a chance of a seam is enough: of 17 painted
/// lines without as much none was a seam.
constexpr double kEndsOfOneMake = 0.12, kSeamOfOneMake = 0.001;

/// One for each line and each row or column within the lattice. `bgr`: the photo, 8-bit; `frame`: its part
/// that shows something.
std::vector<SeamWithin> seams_within(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice);

/// The lines that leave trays of one make.
std::vector<SeamWithin> lines_of_one_make(const Lattice& lattice);

/// Whether trays of one make seem to end at any of these lines: quicker told than seams.
bool end_at_any(const cv::Mat& bgr, const cv::Rect& frame, const Lattice& lattice,
                const std::vector<SeamWithin>& lines);

/// Whether it leaves two trays alike, or one and two.
bool leaves_one_make(const SeamWithin& seam, const Lattice& lattice);

}  // namespace braird::vision
