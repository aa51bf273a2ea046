// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <limits>
#include <span>

#include "vision/net/layer_terms.h"

namespace braird::vision {
namespace {

constexpr float kMostInByte = 127;

void to_bytes(std::span<const float> values, float step, std::span<std::int8_t> bytes) {
  const cv::Mat from(1, static_cast<int>(values.size()), CV_32F, const_cast<float*>(values.data()));
  cv::Mat to(from.size(), CV_8S, bytes.data());
  from.convertTo(to, CV_8S, 1 / step);
}

/// Without VNNI, oneDNN halves the weights lest its sums of 16 bits overflow: only even ones come through
/// whole.
int least_weight() {
  const auto isa = static_cast<unsigned>(dnnl::get_effective_cpu_isa());
  const auto vnni = static_cast<unsigned>(dnnl::cpu_isa::avx512_core_vnni);
  return (isa & vnni) == vnni ? 1 : 2;
}

/// An output's weights in steps of what is returned.
float weights_to_bytes(std::span<const float> weights, std::span<std::int8_t> bytes) {
  const auto [least, most] = std::ranges::minmax(weights);
  const int unit = least_weight(), levels = static_cast<int>(kMostInByte) / unit;
  const float step = std::max({most, -least, std::numeric_limits<float>::min()}) / static_cast<float>(levels);
  to_bytes(weights, step, bytes);
  for (std::int8_t& byte : bytes) byte = static_cast<std::int8_t>(byte * unit);
  return step / static_cast<float>(unit);
}

/// What rounding the weights adds to an output where each channel has its usual value.
float usual_rounding(std::span<const float> weights, std::span<const std::int8_t> bytes, float step,
                     std::span<const float> usual) {
  const std::size_t window = weights.size() / usual.size();
  float sum = 0;
  for (std::size_t channel = 0, i = 0; channel < usual.size(); ++channel) {
    float off = 0;
    for (const std::size_t end = i + window; i < end; ++i)
      off += static_cast<float>(bytes[i]) * step - weights[i];
    sum += usual[channel] * off;
  }
  return sum;
}

}  // namespace

Layers::Terms Layers::byte_terms(const std::string& name, const ByteMaps& maps,
                                 const Convolution& how) const {
  const Tensor& weight = weights.at(name + ".weight");
  const std::vector<float>& usual = weights.at(name + ".usual").values;
  const Sums sums = sums_of(weight, maps.maps.get_desc().dims(), how);
  Terms terms{
      sums, kByte, maps.maps, {{sums.kernel, kByte, c_order(sums.kernel)}, engine}, bias_of(name, how)};
  const std::size_t part = weight.values.size() / terms.bias.size();
  for (std::size_t o = 0; o < terms.bias.size(); ++o) {
    const std::span own(&weight.values[o * part], part);
    const std::span bytes(bytes_of(terms.kernel) + o * part, part);
    const float step = weights_to_bytes(own, bytes);
    terms.scale.push_back(maps.step * step);
    terms.bias[o] = (terms.bias[o] - usual_rounding(own, bytes, step, usual)) / terms.scale[o];
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
  const std::size_t count = bytes.get_desc().get_size();
  to_bytes({values_of(maps), count}, step, {bytes_of(bytes), count});
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
