// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/relief.h"

namespace braird::painter {

/// A patch of medium about height 0 with all that is strewn on it.
Relief medium_layer(const Medium& medium, cv::Point2d origin_mm, cv::Size size, double px_per_mm,
                    Random random);

}  // namespace braird::painter
