// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <limits>
#include <span>

#include "vision/net/layer_terms.h"

namespace braird::vision {
namespace {

constexpr int kMostInByte = 127;

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

/// A channel's usual value, for each of its places in a layer's window.
cv::Mat for_each_weight(const std::vector<float>& usual, int weights) {
  const cv::Mat column(static_cast<int>(usual.size()), 1, CV_32F, const_cast<float*>(usual.data()));
  return cv::repeat(column, 1, weights / column.rows).reshape(1, 1);
}

}  // namespace

const Layers::ByteKernel& Layers::byte_kernel(const std::string& name, const memory::dims& shape) const {
  const auto [kept, is_new] = byte_kernels.try_emplace(name);
  if (!is_new) return kept->second;
  ByteKernel& kernel = kept->second;
  kernel.bytes = {{shape, kByte, c_order(shape)}, engine};
  const Tensor& weight = weights.at(name + ".weight");
  const int outputs = weight.shape[0], part = static_cast<int>(weight.values.size()) / outputs;
  const cv::Mat usual = for_each_weight(weights.at(name + ".usual").values, part);
  const int unit = least_weight(), levels = kMostInByte / unit;
  cv::Mat off;
  for (int o = 0; o < outputs; ++o) {
    const auto first = static_cast<std::size_t>(o) * part;
    const cv::Mat own(1, part, CV_32F, const_cast<float*>(&weight.values[first]));
    cv::Mat bytes(1, part, CV_8S, bytes_of(kernel.bytes) + first);
    const auto most = static_cast<float>(cv::norm(own, cv::NORM_INF));
    const float step = std::max(most, std::numeric_limits<float>::min()) / static_cast<float>(levels);
    own.convertTo(bytes, CV_8S, 1 / step);
    bytes.convertTo(off, CV_32F, step);
    off -= own;
    if (unit > 1) bytes *= unit;
    kernel.steps.push_back(step / static_cast<float>(unit));
    kernel.off.push_back(static_cast<float>(off.dot(usual)));
  }
  return kernel;
}

Layers::Terms Layers::byte_terms(const std::string& name, const ByteMaps& maps,
                                 const Convolution& how) const {
  const Sums sums = sums_of(weights.at(name + ".weight"), maps.maps.get_desc().dims(), how);
  const ByteKernel& kernel = byte_kernel(name, sums.kernel);
  Terms terms{name, sums, kByte, maps.maps, kernel.bytes, bias_of(name, how)};
  for (std::size_t o = 0; o < terms.bias.size(); ++o) {
    const float scale = maps.step * kernel.steps[o];
    terms.bias[o] = (terms.bias[o] - kernel.off[o]) / scale;
    terms.scale.push_back(scale);
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

void Layers::add_conv(Maps& sum, const std::string& name, const ByteMaps& maps,
                      const Convolution& how) const {
  summed(byte_terms(name, maps, how), how, &sum);
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
  return weights.at(name + ".reach").values.front() / static_cast<float>(kMostInByte);
}

ByteMaps Layers::rows_of(const ByteMaps& maps, const cv::Range& rows) const {
  return {rows_of(maps.maps, rows), maps.step};
}

ByteMaps Layers::from_bytes(const cv::Mat& picture, float step) const {
  return {
      {channels_together({1, picture.channels(), picture.rows, picture.cols}, kByte), engine, picture.data},
      step};
}

cv::Mat Layers::to_bytes_picture(const ByteMaps& maps) const {
  const memory::dims shape = maps.maps.get_desc().dims();
  return {static_cast<int>(shape[2]), static_cast<int>(shape[3]), CV_8SC(static_cast<int>(shape[1])),
          bytes_of(maps.maps)};
}

}  // namespace braird::vision
