// SPDX-License-Identifier: Apache-2.0
// The four kinds of networks, as samples/training/nets.py describes and trains them.
#pragma once

#include <array>
#include <functional>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/models.h"

namespace braird::vision {

/// What a lattice's network (Model::lattice or Model::lattice_closer) says of a picture (8-bit, BGR): 16
/// channels of logits at a quarter of its size, its sides taken for the next multiples of 32.
cv::Mat lattice_logits(const cv::Mat& picture, Model model);

/// The chances that a line along a lattice's side is: where the tray ends, a line between two of its rows,
/// where something hides the rest of it or the photo ends, or a row too far.
using LineChances = std::array<float, 4>;

/// What the network says of the lines along the middles of strips (vision/tray_ends.h). `strips`: 32-bit
/// float, 48 px high, a multiple of 8 px wide; blue, green and red about their mean, and 1 where the photo
/// shows something, else 0.
std::vector<LineChances> line_chances(const std::vector<cv::Mat>& strips);

/// The chances, 0..1, that one tray ends and another begins at lines of a lattice: one for half a cell,
/// columns' and rows', from the first pixel of the sheet on that they were seen in.
struct SeamChances {
  std::vector<float> upright, level;
};

/// What the network says of a lattice laid flat with what lies beside it (vision/seams_within.h). `sheet`: as
/// strips are above, both sides multiples of 8 px; `inside`: where on it the lattice lies.
SeamChances seam_chances(const cv::Mat& sheet, const cv::Rect& inside);

/// The trays that a counter's networks can look at in turn: flipped about no axis, both, an upright one, a
/// level one.
constexpr int kMostLooks = 4;

/// The chances of each count, one a channel, for rows and half columns of a tray laid flat: the mean of so
/// many `looks` (1 to `kMostLooks`), each at the tray flipped in its way by the next network of the model's
/// committee, since that is better than any of them. `tray`: 8-bit, BGR; `sides`: 32-bit float, eight
/// channels, six places a cell each way (Model::seeds_large_tray: four); the first two are a vector
/// (rightwards, downwards).
cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides, int looks);

/// Where another look is worth its while: half columns (x) and rows (y) of what the first one said.
using Doubts = std::function<std::vector<cv::Point>(const cv::Mat& chances)>;

/// The same from one look by the committee's first network and, where there are doubts, the mean with its
/// look at the cell and its next neighbours alone, flipped.
cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides, const Doubts& doubts);

}  // namespace braird::vision
