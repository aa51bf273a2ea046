// SPDX-License-Identifier: Apache-2.0
// The door: paints photos of sowing trays whose truth is known exactly. One thread; the same scene gives the
// same bytes.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "samples/painter/scene.h"

namespace braird::painter {

/// Points are pixels of the photo, lens distortion included; (0, 0) is the outer corner of the top left
/// pixel.
struct PaintedCell {
  int row = 0;
  int col = 0;
  cv::Point2d centre_px;     ///< at the height of the tray top (square) or of the medium (staggered)
  double half_pitch_px = 0;  ///< half the square root of the cell's area in the picture
  int seeds = 0;
  std::vector<cv::Point2d> bases_px;  ///< one for each seedling that has come up
  std::vector<int> visible_px;        ///< how many pixels of each can be seen
  std::vector<bool> bases_visible;    ///< at least 30 % of its area, or 12 px
  std::vector<double> stands_out;     ///< of each: standing_out.h
  std::vector<cv::Point2d> seeds_px;  ///< where seeds lie uncovered and in view
};

struct PaintedTray {
  Tray tray;
  bool complete = true;  ///< every cell is wholly in the frame; else only those that are get listed
  std::vector<cv::Point2d>
      outline_px;  ///< top of the outer rim, beside (0,0), (0,last), (last,last), (last,0)
  std::vector<PaintedCell> cells;
};

struct PaintedPhoto {
  cv::Mat3b picture;  ///< B, G, R
  cv::Mat3b maps;     ///< quarter size: tray interior, share of counted plants, walls and rims
  double roll_deg = 0;
  std::vector<PaintedTray> trays;
  std::vector<std::pair<cv::Point2d, cv::Point2d>> across_px;  ///< ends of what lies straight across
};

/// What the scene's camera sees of the world.
Plan plan_of(const Scene& scene);

PaintedPhoto paint(const Scene& scene);

int visible(const PaintedCell& cell);

/// Whether a person could tell that the cell is empty or not: of those visible, one at least stands out.
bool sure(const PaintedCell& cell);

}  // namespace braird::painter
