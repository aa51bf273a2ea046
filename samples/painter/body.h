// SPDX-License-Identifier: Apache-2.0
// Bodies in space: whatever isn't part of the relief, as triangles.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "samples/painter/scene.h"

namespace braird::painter {

struct Vertex {
  cv::Vec3f at;  ///< mm
  cv::Vec3f normal;
  Colour albedo;
  Colour seen{0, 0, 0};  ///< light that leaves it; filled by the lighting
};

/// A plant or a thing. Seedlings that are counted have an id of 1 or more.
struct Body {
  int id = 0;
  float gloss = 0.2f;
  float translucency = 0.3f;
  std::vector<Vertex> vertices;
  std::vector<std::array<int, 3>> triangles;
};

/// A round rod along an axis; radius and colour run from its foot to its tip.
struct Rod {
  std::vector<cv::Vec3f> axis;
  std::vector<float> radius_mm;  ///< one for each point
  Colour foot, tip;
};

void grow_rod(Body& body, const Rod& rod);

/// A leaf: runs from `foot` towards `heading` (rad in plan), rising by `rise` at its foot and falling by
/// `arch` on the way (rad); across it is folded up by `fold` and turned about its own axis by `roll`.
struct Blade {
  cv::Vec3f foot;
  double heading = 0, rise = 0.3, arch = 0.3, fold = 0.2, roll = 0;
  double length_mm = 8, half_width_mm = 4;
  double fullness = 2;  ///< of its outline: 1.5 pointed, 2 round, 4 a strap
  double belly = 1;     ///< above 1: widest near the tip; below: near the foot
  double notch = 0;     ///< dent in the tip, share of the length
  double lobes = 0;     ///< wavy margin, share of the width
  Colour colour{}, rib{};
};

void grow_blade(Body& body, const Blade& blade);

}  // namespace braird::painter
