// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/random.h"
#include "samples/painter/scene.h"

namespace braird::painter {

/// What a phone makes of linear light: metering, cast, lens blur, noise, noise reduction, tone curve,
/// sharpening.
cv::Mat3b develop(const cv::Mat3f& light, const Finish& finish, Random random);

}  // namespace braird::painter
