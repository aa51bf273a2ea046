// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/net/seen_tray.h"

namespace braird::vision {

/// The chances of each count, one a channel, by a network that looks twice: what it makes of the tray tells
/// the weights of the second what the seeds of this tray look like; that one looks at places half as large,
/// too, and at the picture itself.
cv::Mat chances_by_two(const Layers& far, Weights near_weights, const Seen& seen);

}  // namespace braird::vision
