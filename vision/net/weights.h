// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

namespace braird::vision {

/// Numbers of a layer, in C order.
struct Tensor {
  std::vector<int> shape;
  std::vector<float> values;
};

/// A network's tensors by name, as "body.0.conv.0.weight".
using Weights = std::map<std::string, Tensor>;

/// Reads a safetensors file (eight bytes of length, a JSON header, floats of 16 or 32 bits): the tensors
/// whose names begin with `prefix`, without it. Throws std::invalid_argument where the bytes aren't one.
Weights read_weights(std::span<const unsigned char> file, const std::string& prefix = "");

}  // namespace braird::vision
