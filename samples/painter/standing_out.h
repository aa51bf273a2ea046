// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace braird::painter {

/// How well each body can be told from what lies about it, as a ratio of signal to unrest: what it changes in
/// the photo, in brightness and in both opponent colours, over how restless the ground is there at a scale of
/// 3 px; it grows with the root of its size. Under some 7, a person who doesn't know of it sees nothing.
/// `seen`, `bare`: the same photo with and without bodies; `front`: index + 1 of the body at each pixel, else
/// 0.
std::vector<double> standing_out(const cv::Mat3b& seen, const cv::Mat3b& bare, const cv::Mat1w& front,
                                 std::size_t bodies);

}  // namespace braird::painter
