// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <limits>

#include "vision/net/layer_terms.h"

namespace braird::vision {
namespace {

constexpr float kMostInByte = 127;

float largest(const float* values, std::size_t count) {
  const auto [least, most] = std::minmax_element(values, values + count);
  return std::max(*most, -*least);
}

void to_bytes(const float* values, std::size_t count, float step, std::int8_t* bytes) {
  const cv::Mat from(1, static_cast<int>(count), CV_32F, const_cast<float*>(values));
  cv::Mat to(from.size(), CV_8S, bytes);
  from.convertTo(to, CV_8S, 1 / step);
}

}  // namespace

Layers::Terms Layers::byte_terms(const std::string& name, const ByteMaps& maps,
                                 const Convolution& how) const {
  const std::vector<float>& values = weights.at(name + ".weight").values;
  const Sums sums = sums_of(weights.at(name + ".weight"), maps.maps.get_desc().dims(), how);
  Terms terms{
      sums, kByte, maps.maps, {{sums.kernel, kByte, c_order(sums.kernel)}, engine}, bias_of(name, how)};
  const std::size_t part = values.size() / terms.bias.size();
  for (std::size_t o = 0; o < terms.bias.size(); ++o) {
    const float* own = &values[o * part];
    const float step = std::max(largest(own, part), std::numeric_limits<float>::min()) / kMostInByte;
    to_bytes(own, part, step, bytes_of(terms.kernel) + o * part);
    terms.scale.push_back(maps.step * step);
    terms.bias[o] /= terms.scale[o];
  }
  return terms;
}

Maps Layers::conv(const std::string& name, const ByteMaps& maps, const Convolution& how) const {
  return summed(byte_terms(name, maps, how), how);
}

ByteMaps Layers::conv_for(const std::string& next, const std::string& name, const ByteMaps& maps,
                          const Convolution& how) const {
  const float step = step_for(next);
  Terms terms = byte_terms(name, maps, how);
  for (float& scale : terms.scale) scale /= step;
  terms.result = kByte;
  return {summed(terms, how), step};
}

void Layers::add_conv(Maps& sum, const std::string& name, const ByteMaps& maps) const {
  summed(byte_terms(name, maps, {}), {}, &sum);
}

ByteMaps Layers::bytes_for(const std::string& name, const Maps& maps) const {
  const memory::dims shape = maps.get_desc().dims();
  const float step = step_for(name);
  const Maps bytes(channels_together(shape, kByte), engine);
  to_bytes(values_of(maps), bytes.get_desc().get_size(), step, bytes_of(bytes));
  return {bytes, step};
}

float Layers::step_for(const std::string& name) const {
  return weights.at(name + ".reach").values.front() / kMostInByte;
}

ByteMaps Layers::rows_of(const ByteMaps& maps, const cv::Range& rows) const {
  return {rows_of(maps.maps, rows), maps.step};
}

ByteMaps Layers::from_bytes(const cv::Mat& picture, float step) const {
  return {
      {channels_together({1, picture.channels(), picture.rows, picture.cols}, kByte), engine, picture.data},
      step};
}

}  // namespace braird::vision
