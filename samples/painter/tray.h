// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "samples/painter/relief.h"

namespace braird::painter {

/// Place of a cell in the lattice: u along a row, v across, (0, 0) the middle of the first cell.
cv::Point2d cell_uv(const Tray& tray, int row, int col);
/// World place (mm) of a point of the lattice, creep and bow included.
cv::Point2d place_of(const Tray& tray, cv::Point2d uv);
cv::Point2d uv_of(const Tray& tray, cv::Point2d world_mm);
/// Half the length and width of the outer rim, mm.
cv::Point2d half_extent(const Tray& tray);
/// Corners of the outer rim, beside (0,0), (0,last), (last,last), (last,0).
std::vector<cv::Point2d> outline(const Tray& tray);
cv::Rect2d bounds(const Tray& tray, double margin_mm = 0);

/// Sets a filled tray on the relief.
void lay_tray(Relief& relief, const Tray& tray, Random random);

/// The paper walls of a staggered tray.
void lay_paper(Relief& relief, const Tray& tray, Random random);

}  // namespace braird::painter
