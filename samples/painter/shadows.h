// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/body.h"
#include "samples/painter/relief.h"

namespace braird::painter {

cv::Vec3f towards_sun(const Light& light);

/// Below this height (mm) a spot lies in the shadow of the relief.
cv::Mat1f dark_below(const Relief& relief, const cv::Vec3f& to_sun);

/// For each place where sunlight would land at height 0: the highest body it meets, mm.
cv::Mat1f highest_met(const Relief& relief, const std::vector<Body>& bodies, const cv::Vec3f& to_sun);

/// Where light that passes (x, y, z) would land at height 0, relief px.
cv::Point2d landing_px(const Relief& relief, const cv::Vec3f& at, const cv::Vec3f& to_sun);

/// Shadows of things outside the picture, and uneven light: 0 dark .. 1 lit.
cv::Mat1f passing_light(const Relief& relief, const Light& light, Random random);

/// Share of the sky that each spot sees past the relief and past low bodies.
cv::Mat1f open_sky(const Relief& relief, const std::vector<Body>& bodies);

}  // namespace braird::painter
