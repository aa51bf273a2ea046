// SPDX-License-Identifier: Apache-2.0
// All that does not grow, seen in plan: height and surface of each spot of ground, tray, medium and clutter.
#pragma once

#include <opencv2/core.hpp>

#include "samples/painter/random.h"
#include "samples/painter/scene.h"

namespace braird::painter {

enum Kind : unsigned char { ground_kind, medium_kind, wall_kind, rim_kind, clutter_kind };

struct Relief {
  cv::Point2d origin_mm;  ///< world place of the outer corner of pixel (0, 0)
  double px_per_mm = 2;
  cv::Mat1f height;  ///< mm
  cv::Mat3f albedo;
  cv::Mat1f gloss;  ///< 0..1
  cv::Mat1b kind;
};

Relief blank_relief(cv::Rect2d world_mm, double px_per_mm, double height);

inline cv::Point2d relief_px(const Relief& relief, cv::Point2d mm) {
  return (mm - relief.origin_mm) * relief.px_per_mm;
}
inline cv::Point2d relief_mm(const Relief& relief, cv::Point2d px) {
  return px * (1 / relief.px_per_mm) + relief.origin_mm;
}
/// Height at a place, 0 outside.
double height_at(const Relief& relief, cv::Point2d mm);
cv::Rect relief_box(const Relief& relief, cv::Rect2d mm);

/// Half an ellipsoid lying on the relief.
struct Grain {
  cv::Point2d at;
  double long_mm = 2, wide_mm = 2;  ///< half axes
  double angle = 0;
  double high_mm = 1;
  double base = 0;  ///< height of its foot; where the relief is higher it shows through
  Colour colour{};
  double gloss = 0;
  double flatness = 2;  ///< power of the profile: 2 an egg, 8 a flake with an edge
  double mottle = 0;
};

void lay_grain(Relief& relief, const Grain& grain, Random& random);

/// A straight stroke with round ends.
struct Stroke {
  cv::Point2d from, to;
  double half_width_mm = 0.5;
  double from_height = 1, to_height = 1;  ///< world heights of its ridge
  double round = 1;                       ///< how far its edges fall below its ridge, half widths
  Colour colour{};
  double gloss = 0;
  Kind kind = ground_kind;
};

void lay_stroke(Relief& relief, const Stroke& stroke);

/// A flat sheet with straight edges, `thick` mm above what lies there.
void lay_sheet(Relief& relief, const std::vector<cv::Point2d>& corners_mm, double height, Colour colour,
               double gloss);

}  // namespace braird::painter
