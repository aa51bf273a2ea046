// SPDX-License-Identifier: Apache-2.0
// What lies straight across trays: canes, hoses, slats, cords; and straight shadows and streaks of light.
#pragma once

#include "samples/painter/relief.h"

namespace braird::painter {

/// One to three of them across some tray of the scene, in so many of the scenes (0 to 1); the rest stays.
void lay_any_across(Scene& scene, double share, Random random);

/// Lays the scene's things on its trays.
void lay_across(const Scene& scene, Relief& relief);

/// Dims `lit` (1 lit .. 0 dark, so many px a millimetre, its first px at the relief's origin) along the stripes.
void cast_stripes(cv::Mat1f& lit, double px_per_mm, cv::Point2d origin_mm,
                  const std::vector<Stripe>& stripes);

}  // namespace braird::painter
