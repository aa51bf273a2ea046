// SPDX-License-Identifier: Apache-2.0
// A layer and pictures drawn at random.
#pragma once

#include <functional>
#include <numeric>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/net/weights.h"

namespace braird::vision {

inline std::vector<float> random_values(std::size_t count, cv::RNG& rng) {
  std::vector<float> values(count);
  for (float& value : values) value = rng.uniform(-1.0F, 1.0F);
  return values;
}

inline cv::Mat drawn_picture(int rows, int cols, int channels, cv::RNG& rng) {
  cv::Mat picture(rows, cols, CV_32FC(channels));
  rng.fill(picture.reshape(1), cv::RNG::UNIFORM, -1, 1);
  return picture;
}

/// One layer called "layer", which owns its numbers.
struct OneLayer {
  std::vector<int> shape;
  std::vector<float> kernel, bias;

  OneLayer(std::vector<int> its_shape, cv::RNG& rng)
      : shape(std::move(its_shape)),
        kernel(random_values(std::accumulate(shape.begin(), shape.end(), std::size_t{1}, std::multiplies<>()),
                             rng)),
        bias(random_values(static_cast<std::size_t>(shape[0]), rng)) {}

  Weights weights() const { return {{"layer.weight", {shape, kernel}}, {"layer.bias", {{shape[0]}, bias}}}; }
};

}  // namespace braird::vision
