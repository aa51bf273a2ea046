// SPDX-License-Identifier: Apache-2.0
// A tray as a counter's network sees it, and what its first layers make of that.
#pragma once

#include <opencv2/core.hpp>

#include "vision/net/layers.h"

namespace braird::vision {

/// How a tray is flipped before it is looked at: about a level axis, an upright one, or both.
struct Flip {
  bool upside_down, left_right;
};

cv::Mat flipped(const cv::Mat& picture, const Flip& flip);

/// What is told of the flipped tray: vectors point the other way there.
cv::Mat flipped_sides(const cv::Mat& sides, const Flip& flip);

/// The mean of each channel, not too dark to divide by.
cv::Scalar light_of(const cv::Mat& tray);

/// A tray as a network sees it.
struct Seen {
  const cv::Mat& tray;
  cv::Scalar light;
  Flip flip;
  cv::Mat sides;
};

/// These rows of the flipped tray as a layer that looks at pixels sees them: signed bytes.
cv::Mat seen_pixels(const Seen& seen, const cv::Range& rows);

/// Lets such a layer look at a tray in this light.
void look_through(const cv::Scalar& light, const std::string& layer, Weights& weights);

/// The network as it looks at trays in this light.
Layers network_for(Weights weights, const cv::Scalar& light);

/// What the first layers make of a tray: maps at as many places a cell as `sides` and, where a closer look
/// follows, those twice as fine, in whole numbers.
struct Shrunk {
  cv::Mat small, fine;
  float fine_step = 1;
};

/// The first three layers, which make the picture small, and what is told; `closer`: whether the finer maps
/// are wanted.
Shrunk shrunk_maps(const Layers& net, const Seen& seen, bool closer);

}  // namespace braird::vision
