// SPDX-License-Identifier: Apache-2.0
#include "vision/net/layers.h"

#include <omp.h>

#include <unordered_map>

namespace braird::vision {
namespace {

using dnnl::memory;

constexpr auto kFloat = memory::data_type::f32;

memory::desc of_any_order(const memory::dims& shape) {
  return {shape, kFloat, memory::format_tag::any};
}

memory::desc channels_together(const memory::dims& shape) {
  return {shape, kFloat, memory::format_tag::nhwc};
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

dnnl::primitive_attr after_sums(bool relu, const memory::desc* plus) {
  dnnl::post_ops steps;
  if (relu) steps.append_eltwise(1, dnnl::algorithm::eltwise_relu, 0, 0);
  if (plus) steps.append_binary(dnnl::algorithm::binary_add, *plus);
  dnnl::primitive_attr attributes;
  attributes.set_post_ops(steps);
  return attributes;
}

}  // namespace

Layers::Layers(Weights weights_, int threads_) : weights(std::move(weights_)), threads(threads_) {
  omp_set_num_threads(threads);  // layers are made for as many as are set then
}

Maps Layers::conv(const std::string& name, const Maps& maps, const Convolution& how) const {
  const Tensor &weight = weights.at(name + ".weight"), &own_bias = weights.at(name + ".bias");
  const memory::dims shape = maps.get_desc().dims();
  const Sums sums = sums_of(weight, shape, how);
  std::vector<float> bias(own_bias.values.begin(), own_bias.values.end());
  for (std::size_t c = 0; c < how.bias.size(); ++c) bias[c] += how.bias[c];
  const memory::desc bias_order({sums.result[1]}, kFloat, memory::format_tag::x);

  const auto order = how.packed ? of_any_order : channels_together;
  const dnnl::convolution_forward::desc layer(
      dnnl::prop_kind::forward_inference, dnnl::algorithm::convolution_direct, order(shape),
      of_any_order(sums.kernel), bias_order, order(sums.result), {how.stride.height, how.stride.width},
      sums.dilation, sums.padding, sums.padding);
  dnnl::convolution_forward::primitive_desc best(layer, after_sums(how.relu, nullptr), engine);
  const memory::desc result_order = best.dst_desc();
  if (how.plus) best = {layer, after_sums(how.relu, &result_order), engine};
  const Maps kernel({sums.kernel, kFloat, c_order(sums.kernel)}, engine,
                    const_cast<float*>(weight.values.data()));
  Maps result(result_order, engine);
  const Maps source = in_order(maps, best.src_desc());
  std::unordered_map<int, memory> parts{{DNNL_ARG_SRC, source},
                                        {DNNL_ARG_WEIGHTS, in_order(kernel, best.weights_desc())},
                                        {DNNL_ARG_BIAS, {bias_order, engine, bias.data()}},
                                        {DNNL_ARG_DST, result}};
  if (how.plus)
    parts.emplace(DNNL_ARG_ATTR_MULTIPLE_POST_OP(how.relu ? 1 : 0) | DNNL_ARG_SRC_1,
                  in_order(how.plus == &maps ? source : *how.plus, result_order));
  run(dnnl::convolution_forward(best), parts);
  return result;
}

void Layers::run(const dnnl::primitive& primitive, const std::unordered_map<int, Maps>& parts) const {
  omp_set_num_threads(threads);
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
  return {channels_together(shape), engine, static_cast<float*>(maps.get_data_handle()) + row * rows.start};
}

Maps Layers::from_picture(const cv::Mat& picture) const {
  return {channels_together({1, picture.channels(), picture.rows, picture.cols}), engine, picture.data};
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
