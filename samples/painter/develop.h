// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/random.h"
#include "samples/painter/scene.h"

namespace braird::painter {

/// Gain that brings the scene's typical brightness to mid-grey, as a phone's metering does: the middle weighs
/// more, and of the brightest spots few may burn out.
float metered(const cv::Mat3f& light);

/// What a phone makes of linear light metered so: cast, lens blur, noise, noise reduction, tone curve,
/// sharpening.
cv::Mat3b develop(const cv::Mat3f& light, float gain, const Finish& finish, Random random);

}  // namespace braird::painter
