// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/body.h"
#include "samples/painter/random.h"

namespace braird::painter {

struct Growth {
  cv::Vec3f foot;         ///< where it leaves the medium
  double stage = 0.7;     ///< as in Sowing
  bool hidden = false;    ///< still under the medium
  double vigour = 1;      ///< size against the crop's usual
  double lean = 0;        ///< rad from upright
  double lean_angle = 0;  ///< rad in plan
};

/// A seedling of a crop at its stage of growth.
Body grow_seedling(const Crop& crop, const Growth& growth, Random random);

}  // namespace braird::painter
