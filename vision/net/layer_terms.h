// SPDX-License-Identifier: Apache-2.0
// What a layer is made of, as oneDNN takes it; for the files of Layers alone.
#pragma once

#include <cstdint>
#include <vector>

#include "vision/net/layers.h"

namespace braird::vision {

using dnnl::memory;

constexpr auto kFloat = memory::data_type::f32, kByte = memory::data_type::s8;

inline memory::desc of_any_order(const memory::dims& shape, memory::data_type type = kFloat) {
  return {shape, type, memory::format_tag::any};
}

inline memory::desc channels_together(const memory::dims& shape, memory::data_type type = kFloat) {
  return {shape, type, memory::format_tag::nhwc};
}

/// A layer's sums: what it adds up for each place, and the shape that this gives.
struct Sums {
  memory::dims kernel, result, padding, dilation;
};

inline Sums sums_of(const Tensor& weight, const memory::dims& maps, const Convolution& how) {
  const memory::dim out = weight.shape[0], in = weight.shape[1], rows = weight.shape[2],
                    cols = weight.shape[3];
  const memory::dim groups = maps[1] / in;
  const auto margin = [&](memory::dim part) { return how.padded ? how.dilation * (part / 2) : 0; };
  const auto size = [&](memory::dim whole, memory::dim part, int stride) {
    return (whole + 2 * margin(part) - how.dilation * (part - 1) - 1) / stride + 1;
  };
  Sums sums{{out, in, rows, cols},
            {1, out, size(maps[2], rows, how.stride.height), size(maps[3], cols, how.stride.width)},
            {margin(rows), margin(cols)},
            {how.dilation - 1, how.dilation - 1}};
  if (groups > 1) sums.kernel = {groups, out / groups, in, rows, cols};
  return sums;
}

inline memory::format_tag c_order(const memory::dims& kernel) {
  return kernel.size() == 5 ? memory::format_tag::goihw : memory::format_tag::oihw;
}

inline float* values_of(const memory& maps) {
  return static_cast<float*>(maps.get_data_handle());
}

inline std::int8_t* bytes_of(const memory& maps) {
  return static_cast<std::int8_t*>(maps.get_data_handle());
}

/// What a layer adds up; in whole numbers the sums are too small by `scale`, an output each.
struct Layers::Terms {
  const std::string& name;
  Sums sums;
  memory::data_type type;
  Maps maps, kernel;
  std::vector<float> bias, scale{};
  memory::data_type result = kFloat;
};

}  // namespace braird::vision
