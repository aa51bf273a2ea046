// SPDX-License-Identifier: Apache-2.0
#include "vision/net/layers.h"

#include <omp.h>

#include <string_view>

#include "vision/net/layer_terms.h"

namespace braird::vision {
namespace {

/// What follows the sums: negative ones become 0, each channel is multiplied by its `scale`, `plus` is added,
/// or all to what stands in the result.
struct AfterSums {
  bool relu;
  const memory::desc *scale, *plus;
  bool onto;

  int place_of_scale() const { return relu ? 1 : 0; }
  int place_of_plus() const { return place_of_scale() + (scale ? 1 : 0); }

  dnnl::primitive_attr attributes() const {
    dnnl::post_ops steps;
    if (relu) steps.append_eltwise(1, dnnl::algorithm::eltwise_relu, 0, 0);
    if (scale) steps.append_binary(dnnl::algorithm::binary_mul, *scale);
    if (plus) steps.append_binary(dnnl::algorithm::binary_add, *plus);
    if (onto) steps.append_sum(1);
    dnnl::primitive_attr result;
    result.set_post_ops(steps);
    return result;
  }
};

int operand(int place) {
  return DNNL_ARG_ATTR_MULTIPLE_POST_OP(place) | DNNL_ARG_SRC_1;
}

}  // namespace

Layers::Layers(Weights weights_) : weights(std::move(weights_)) {
  omp_set_num_threads(1);                                // layers are made for as many as are set then
  dnnl::set_jit_profiling_flags(DNNL_JIT_PROFILE_NONE);  // saves a millisecond
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
  return summed({name, sums, kFloat, maps, kernel, bias_of(name, how)}, how);
}

Maps Layers::summed(const Terms& terms, const Convolution& how, Maps* onto) const {
  const Sums& sums = terms.sums;
  const memory::desc bias_order({sums.result[1]}, kFloat, memory::format_tag::x);
  const memory::desc scale_order({1, sums.result[1], 1, 1}, kFloat, memory::format_tag::nchw);
  const memory::desc plus_order = channels_together(sums.result);

  const auto order = how.packed ? of_any_order : channels_together;
  const dnnl::convolution_forward::desc layer(
      dnnl::prop_kind::forward_inference, dnnl::algorithm::convolution_direct,
      order(terms.maps.get_desc().dims(), terms.type), of_any_order(sums.kernel, terms.type), bias_order,
      order(sums.result, terms.result), {how.stride.height, how.stride.width}, sums.dilation, sums.padding,
      sums.padding);
  const AfterSums after{how.relu, terms.scale.empty() ? nullptr : &scale_order,
                        how.plus ? &plus_order : nullptr, onto != nullptr};
  dnnl::convolution_forward::primitive_desc best(layer, after.attributes(), engine);
  // Batched products of small matrices take longer to make than their speed wins back in a tray.
  if (std::string_view(best.impl_info_str()).starts_with("brgconv")) best.next_impl();
  Maps result = onto ? *onto : Maps(best.dst_desc(), engine);
  const auto as_memory = [&](const memory::desc& of, const std::vector<float>& values) {
    return memory(of, engine, const_cast<float*>(values.data()));
  };
  std::unordered_map<int, memory> parts{{DNNL_ARG_SRC, in_order(terms.maps, best.src_desc())},
                                        {DNNL_ARG_WEIGHTS, kernel_in_order(terms, best.weights_desc())},
                                        {DNNL_ARG_BIAS, as_memory(bias_order, terms.bias)},
                                        {DNNL_ARG_DST, result}};
  if (after.scale) parts[operand(after.place_of_scale())] = as_memory(scale_order, terms.scale);
  if (after.plus) parts[operand(after.place_of_plus())] = *how.plus;
  run(dnnl::convolution_forward(best), parts);
  return result;
}

const Maps& Layers::kernel_in_order(const Terms& terms, const dnnl::memory::desc& order) const {
  const auto [kept, is_new] = ordered_kernels.try_emplace(terms.name);
  if (is_new || kept->second.get_desc() != order) kept->second = in_order(terms.kernel, order);
  return kept->second;
}

void Layers::run(const dnnl::primitive& primitive, const std::unordered_map<int, Maps>& parts) const {
  omp_set_num_threads(1);
  primitive.execute(stream, parts);
  stream.wait();
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
  const auto type = maps.get_desc().data_type();
  const auto size = static_cast<memory::dim>(memory::data_type_size(type));
  return {channels_together(shape, type), engine, bytes_of(maps) + size * row * rows.start};
}

Maps Layers::from_picture(const cv::Mat& picture) const {
  return {channels_together({1, picture.channels(), picture.rows, picture.cols}), engine, picture.data};
}

cv::Mat Layers::to_picture(const Maps& maps) const {
  const memory::dims shape = maps.get_desc().dims();
  const cv::Size size(static_cast<int>(shape[3]), static_cast<int>(shape[2]));
  const int type = CV_32FC(static_cast<int>(shape[1]));
  if (maps.get_desc() == channels_together(shape)) return cv::Mat(size, type, values_of(maps)).clone();
  cv::Mat picture(size, type);
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
