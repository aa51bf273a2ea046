// SPDX-License-Identifier: Apache-2.0
// What the networks share beside layers: bands of rows, and what is done at single places.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "vision/net/layers.h"

namespace braird::vision {

/// Rows of a result, and those that are looked at for them.
struct Band {
  cv::Range kept, seen;
};

/// Parts of at most so many rows of which `halo` more are seen on either side, unless the picture ends there.
/// All are seen in the same height, so that one program of machine code serves them all.
std::vector<Band> bands_of(int rows, int most, int halo);

cv::Range times(int factor, const cv::Range& range);

/// Puts what was seen of a band where it belongs.
void keep(const cv::Mat& seen, const Band& band, int factor, cv::Mat& result);

/// Of each channel over the picture, its mean or what else this kind of cv::reduce gives.
std::vector<float> over_places(const cv::Mat& picture, int kind);

/// A layer of one place, without an executor's ado.
std::vector<float> at_one_place(const Layers& net, const std::string& name, const std::vector<float>& values);

/// Each place's logits to chances.
void softmax(cv::Mat& picture);

}  // namespace braird::vision
