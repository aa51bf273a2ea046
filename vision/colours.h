// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>

namespace braird::vision {

/// Whether a picture has but one tone, be it grey, sepia or that of a red lamp: its colours then lie along a
/// line, and plants can't be told from the medium by theirs. `bgr`: 8-bit, not empty. Small casts of a sensor
/// and what JPEG adds are allowed for.
bool is_of_one_tone(const cv::Mat& bgr);

/// Whether a picture was taken in purple light, as that of a grow lamp without green, in which all but a little is
/// red and blue. `bgr`: 8-bit, not empty.
bool is_in_purple_light(const cv::Mat& bgr);

}  // namespace braird::vision
