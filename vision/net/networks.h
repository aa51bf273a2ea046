// SPDX-License-Identifier: Apache-2.0
// The three kinds of networks, as samples/training/nets.py describes and trains them.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/models.h"

namespace braird::vision {

/// What the lattice's network says of a picture (8-bit, BGR): 16 channels of logits at a quarter of its size,
/// its sides taken for the next multiples of 32. `threads`: how many may work on it.
cv::Mat lattice_logits(const cv::Mat& picture, int threads);

/// The chances that a line along a lattice's side is: where the tray ends, a line between two of its rows,
/// where something hides the rest of it or the photo ends, or a row too far.
using LineChances = std::array<float, 4>;

/// What the network says of the lines along the middles of strips (vision/tray_ends.h). `strips`: 32-bit
/// float, 48 px high, a multiple of 8 px wide; blue, green and red about their mean, and 1 where the photo
/// shows something, else 0.
std::vector<LineChances> line_chances(const std::vector<cv::Mat>& strips);

/// The chances of each count, one a channel, for rows and half columns of a tray laid flat.
/// `tray`: 8-bit, BGR; `sides`: 32-bit float, eight channels, six places a cell each way.
/// A model is a committee of one or more networks; at each `look` (0, 1 …) the next of them looks.
cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides, int look);

}  // namespace braird::vision
