// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/body.h"
#include "samples/painter/camera.h"
#include "samples/painter/relief.h"

namespace braird::painter {

/// The light that each spot of the relief sends to the camera. Also lights the vertices of the bodies.
cv::Mat3f light_up(const Relief& relief, std::vector<Body>& bodies, const Light& light, const Camera& camera,
                   Random random);

}  // namespace braird::painter
