// SPDX-License-Identifier: Apache-2.0
// The two kinds of networks, as samples/training/nets.py describes and trains them.
#pragma once

#include <opencv2/core.hpp>

#include "vision/models.h"

namespace braird::vision {

/// What the lattice's network says of a picture (8-bit, BGR): 16 channels of logits at a quarter of its size,
/// its sides taken for the next multiples of 32. `threads`: how many may work on it.
cv::Mat lattice_logits(const cv::Mat& picture, int threads);

/// The chances of each count, one a channel, for rows and half columns of a tray laid flat.
/// `tray`: 8-bit, BGR; `sides`: 32-bit float, eight channels, six places a cell each way.
/// A model is a committee of one or more networks; at each `look` (0, 1 …) the next of them looks.
cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides, int look);

}  // namespace braird::vision
