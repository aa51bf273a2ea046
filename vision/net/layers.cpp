// SPDX-License-Identifier: Apache-2.0
#include "vision/net/layers.h"

#include <omp.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <unordered_map>

namespace braird::vision {
namespace {

using dnnl::memory;

constexpr auto kFloat = memory::data_type::f32, kByte = memory::data_type::s8;

memory::desc of_any_order(const memory::dims& shape, memory::data_type type = kFloat) {
  return {shape, type, memory::format_tag::any};
}

memory::desc channels_together(const memory::dims& shape, memory::data_type type = kFloat) {
  return {shape, type, memory::format_tag::nhwc};
}

/// A layer's sums: what it adds up for each place, and the shape that this gives.
struct Sums {
  memory::dims kernel, result, padding, dilation;
};

Sums sums_of(const Tensor& weight, const memory::dims& maps, const Convolution& how) {
  const memory::dim out = weight.shape[0], in = weight.shape[1], rows = weight.shape[2],
                    cols = weight.shape[3];
  const memory::dim groups = maps[1] / in, margin = how.padded ? how.dilation * (rows / 2) : 0;
  const auto size = [&](memory::dim whole, memory::dim part, int stride) {
    return (whole + 2 * margin - how.dilation * (part - 1) - 1) / stride + 1;
  };
  Sums sums{{out, in, rows, cols},
            {1, out, size(maps[2], rows, how.stride.height), size(maps[3], cols, how.stride.width)},
            {margin, margin},
            {how.dilation - 1, how.dilation - 1}};
  if (groups > 1) sums.kernel = {groups, out / groups, in, rows, cols};
  return sums;
}

memory::format_tag c_order(const memory::dims& kernel) {
  return kernel.size() == 5 ? memory::format_tag::goihw : memory::format_tag::oihw;
}

/// What follows the sums: negative ones become 0, each channel is multiplied by its `scale`, `plus` is added.
struct AfterSums {
  bool relu;
  const memory::desc *scale, *plus;

  int place_of_scale() const { return relu ? 1 : 0; }
  int place_of_plus() const { return place_of_scale() + (scale ? 1 : 0); }

  dnnl::primitive_attr attributes() const {
    dnnl::post_ops steps;
    if (relu) steps.append_eltwise(1, dnnl::algorithm::eltwise_relu, 0, 0);
    if (scale) steps.append_binary(dnnl::algorithm::binary_mul, *scale);
    if (plus) steps.append_binary(dnnl::algorithm::binary_add, *plus);
    dnnl::primitive_attr result;
    result.set_post_ops(steps);
    return result;
  }
};

int operand(int place) {
  return DNNL_ARG_ATTR_MULTIPLE_POST_OP(place) | DNNL_ARG_SRC_1;
}

constexpr float kMostInByte = 127;

/// A step in which values fit into 8 bits.
float step_for(const float* values, std::size_t count) {
  constexpr std::size_t kAtOnce = 16;  // which compilers turn into wide instructions
  std::array<float, kAtOnce> most{};
  std::size_t i = 0;
  for (; i + kAtOnce <= count; i += kAtOnce)
    for (std::size_t k = 0; k < kAtOnce; ++k) most[k] = std::max(most[k], std::abs(values[i + k]));
  for (; i < count; ++i) most[0] = std::max(most[0], std::abs(values[i]));
  const float largest = *std::ranges::max_element(most);
  return (largest > 0 ? largest : 1) / kMostInByte;
}

/// Values in steps that fit; returns the step.
float to_bytes(const float* values, std::size_t count, std::int8_t* bytes) {
  const float step = step_for(values, count);
  const cv::Mat from(1, static_cast<int>(count), CV_32F, const_cast<float*>(values));
  cv::Mat to(from.size(), CV_8S, bytes);
  from.convertTo(to, CV_8S, 1 / step);
  return step;
}

float* values_of(const memory& maps) {
  return static_cast<float*>(maps.get_data_handle());
}

std::int8_t* bytes_of(const memory& maps) {
  return static_cast<std::int8_t*>(maps.get_data_handle());
}

}  // namespace

/// What a layer adds up; in whole numbers the sums are too small by `scale`, an output each.
struct Layers::Terms {
  Sums sums;
  memory::data_type type;
  Maps maps, kernel;
  std::vector<float> bias, scale{};
};

Layers::Layers(Weights weights_, int threads_) : weights(std::move(weights_)), threads(threads_) {
  omp_set_num_threads(threads);  // layers are made for as many as are set then
}

std::vector<float> Layers::bias_of(const std::string& name, const Convolution& how) const {
  std::vector<float> bias = weights.at(name + ".bias").values;
  for (std::size_t c = 0; c < how.bias.size(); ++c) bias[c] += how.bias[c];
  return bias;
}

Maps Layers::conv(const std::string& name, const Maps& maps, const Convolution& how) const {
  const Tensor& weight = weights.at(name + ".weight");
  const Sums sums = sums_of(weight, maps.get_desc().dims(), how);
  const Maps kernel({sums.kernel, kFloat, c_order(sums.kernel)}, engine,
                    const_cast<float*>(weight.values.data()));
  return summed({sums, kFloat, maps, kernel, bias_of(name, how)}, how);
}

Maps Layers::conv(const std::string& name, const ByteMaps& maps, const Convolution& how) const {
  const Tensor& weight = weights.at(name + ".weight");
  const Sums sums = sums_of(weight, maps.maps.get_desc().dims(), how);
  Terms terms{
      sums, kByte, maps.maps, {{sums.kernel, kByte, c_order(sums.kernel)}, engine}, bias_of(name, how)};
  const std::size_t part = weight.values.size() / terms.bias.size();
  for (std::size_t o = 0; o < terms.bias.size(); ++o) {
    const float step = to_bytes(&weight.values[o * part], part, bytes_of(terms.kernel) + o * part);
    terms.scale.push_back(maps.step * step);
    terms.bias[o] /= terms.scale[o];
  }
  return summed(terms, how);
}

Maps Layers::summed(const Terms& terms, const Convolution& how) const {
  const Sums& sums = terms.sums;
  const memory::desc bias_order({sums.result[1]}, kFloat, memory::format_tag::x);
  const memory::desc scale_order({1, sums.result[1], 1, 1}, kFloat, memory::format_tag::nchw);
  const memory::desc plus_order = channels_together(sums.result);

  const auto order = how.packed ? of_any_order : channels_together;
  const dnnl::convolution_forward::desc layer(
      dnnl::prop_kind::forward_inference, dnnl::algorithm::convolution_direct,
      order(terms.maps.get_desc().dims(), terms.type), of_any_order(sums.kernel, terms.type), bias_order,
      order(sums.result, kFloat), {how.stride.height, how.stride.width}, sums.dilation, sums.padding,
      sums.padding);
  const AfterSums after{how.relu, terms.scale.empty() ? nullptr : &scale_order,
                        how.plus ? &plus_order : nullptr};
  const dnnl::convolution_forward::primitive_desc best(layer, after.attributes(), engine);
  Maps result(best.dst_desc(), engine);
  const auto as_memory = [&](const memory::desc& of, const std::vector<float>& values) {
    return memory(of, engine, const_cast<float*>(values.data()));
  };
  std::unordered_map<int, memory> parts{{DNNL_ARG_SRC, in_order(terms.maps, best.src_desc())},
                                        {DNNL_ARG_WEIGHTS, in_order(terms.kernel, best.weights_desc())},
                                        {DNNL_ARG_BIAS, as_memory(bias_order, terms.bias)},
                                        {DNNL_ARG_DST, result}};
  if (after.scale) parts[operand(after.place_of_scale())] = as_memory(scale_order, terms.scale);
  if (after.plus) parts[operand(after.place_of_plus())] = *how.plus;
  run(dnnl::convolution_forward(best), parts);
  return result;
}

void Layers::run(const dnnl::primitive& primitive, const std::unordered_map<int, Maps>& parts) const {
  omp_set_num_threads(threads);
  primitive.execute(stream, parts);
  stream.wait();
}

ByteMaps Layers::in_bytes(const Maps& maps) const {
  const memory::dims shape = maps.get_desc().dims();
  const std::size_t count = maps.get_desc().get_size() / sizeof(float);
  const Maps bytes(channels_together(shape, kByte), engine);
  return {bytes, to_bytes(values_of(maps), count, bytes_of(bytes))};
}

Maps Layers::twice_as_large(const Maps& maps) const {
  memory::dims shape = maps.get_desc().dims();
  shape[2] *= 2;
  shape[3] *= 2;
  const dnnl::resampling_forward::primitive_desc best(
      {dnnl::prop_kind::forward_inference, dnnl::algorithm::resampling_nearest, maps.get_desc(),
       of_any_order(shape)},
      engine);
  Maps result(best.dst_desc(), engine);
  run(dnnl::resampling_forward(best), {{DNNL_ARG_SRC, maps}, {DNNL_ARG_DST, result}});
  return result;
}

Maps Layers::joined(const Maps& one, const Maps& other) const {
  const dnnl::concat::primitive_desc best(1, {one.get_desc(), other.get_desc()}, engine);
  Maps result(best.dst_desc(), engine);
  run(dnnl::concat(best),
      {{DNNL_ARG_MULTIPLE_SRC, one}, {DNNL_ARG_MULTIPLE_SRC + 1, other}, {DNNL_ARG_DST, result}});
  return result;
}

Maps Layers::rows_of(const Maps& maps, const cv::Range& rows) const {
  memory::dims shape = maps.get_desc().dims();
  const memory::dim row = shape[1] * shape[3];
  shape[2] = rows.size();
  return {channels_together(shape), engine, values_of(maps) + row * rows.start};
}

Maps Layers::from_picture(const cv::Mat& picture) const {
  return {channels_together({1, picture.channels(), picture.rows, picture.cols}), engine, picture.data};
}

ByteMaps Layers::from_bytes(const cv::Mat& picture, float step) const {
  return {
      {channels_together({1, picture.channels(), picture.rows, picture.cols}, kByte), engine, picture.data},
      step};
}

cv::Mat Layers::to_picture(const Maps& maps) const {
  const memory::dims shape = maps.get_desc().dims();
  cv::Mat picture(static_cast<int>(shape[2]), static_cast<int>(shape[3]),
                  CV_32FC(static_cast<int>(shape[1])));
  const Maps result = from_picture(picture);
  run(dnnl::reorder(maps, result), {{DNNL_ARG_FROM, maps}, {DNNL_ARG_TO, result}});
  return picture;
}

Maps Layers::in_order(const Maps& maps, const dnnl::memory::desc& order) const {
  if (maps.get_desc() == order) return maps;
  Maps result(order, engine);
  run(dnnl::reorder(maps, result), {{DNNL_ARG_FROM, maps}, {DNNL_ARG_TO, result}});
  return result;
}

}  // namespace braird::vision
