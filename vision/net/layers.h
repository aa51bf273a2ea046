// SPDX-License-Identifier: Apache-2.0
// The few kinds of layers that the networks are made of, run by oneDNN (2.6, one picture at a time): sums of
// 32-bit floats, or of whole numbers of 8 bits.
#pragma once

#include <dnnl.hpp>
#include <opencv2/core.hpp>
#include <string>
#include <unordered_map>
#include <vector>

#include "vision/net/weights.h"

namespace braird::vision {

/// Feature maps of one picture: 1 × channels × rows × columns.
using Maps = dnnl::memory;

/// Maps in whole numbers of 8 bits with sign, a place's channels together; each counts for `step`.
struct ByteMaps {
  Maps maps;
  float step;
};

struct Convolution {
  cv::Size stride{1, 1};
  int dilation = 1;
  bool padded = true;   ///< by zeros all round, so that the maps keep their size; otherwise they shrink
  bool relu = true;     ///< negative sums become 0
  bool packed = false;  ///< the result is in the processor's favourite order, not a place's channels
                        ///< together: a quarter faster where several such layers follow each other
  const Maps* plus = nullptr;  ///< added to the result, of its shape; neither is packed then
  std::vector<float> bias{};   ///< added to the layer's own, one a channel
};

/// One at a time may use it, and one thread works: several wait for one another at each layer, and spin where
/// other work keeps the processors busy.
class Layers {
 public:
  explicit Layers(Weights weights);

  /// The layer NAME, of the tensors NAME.weight (out, in / groups, height, width) and NAME.bias; there are as
  /// many groups as that takes. Throws std::out_of_range where they are missing.
  Maps conv(const std::string& name, const Maps& maps, const Convolution& how = {}) const;

  /// The same with the weights in whole numbers, too, each output's in steps of a 127th of its largest: three
  /// to six times as fast.
  Maps conv(const std::string& name, const ByteMaps& maps, const Convolution& how = {}) const;

  /// The same for the layer `next` to go on from; it isn't packed.
  ByteMaps conv_for(const std::string& next, const std::string& name, const ByteMaps& maps,
                    const Convolution& how = {}) const;

  /// Adds to `sum`, whose channels are together, what the layer makes of these maps.
  void add_conv(Maps& sum, const std::string& name, const ByteMaps& maps, const Convolution& how = {}) const;

  bool has(const std::string& name) const { return weights.contains(name + ".weight"); }
  const Tensor& tensor(const std::string& name) const { return weights.at(name); }

  /// Each value four times, twice as wide and high.
  Maps twice_as_large(const Maps& maps) const;

  /// The channels of one after those of the other.
  Maps joined(const Maps& one, const Maps& other) const;

  /// Maps whose channels are together, in steps of a 127th of the tensor NAME.reach: what is larger than that
  /// counts as that.
  ByteMaps bytes_for(const std::string& name, const Maps& maps) const;

  /// These rows of maps whose channels are together; they read the maps' own memory.
  Maps rows_of(const Maps& maps, const cv::Range& rows) const;
  ByteMaps rows_of(const ByteMaps& maps, const cv::Range& rows) const;

  /// From and to pictures of 32-bit floats, a place's channels together; maps read the picture's own memory.
  Maps from_picture(const cv::Mat& picture) const;
  ByteMaps from_bytes(const cv::Mat& picture, float step) const;  ///< signed 8-bit, likewise
  cv::Mat to_picture(const Maps& maps) const;
  cv::Mat to_bytes_picture(const ByteMaps& maps) const;  ///< signed 8-bit; it reads the maps' own memory

 private:
  struct Terms;

  /// A layer's weights in whole numbers, in C order.
  struct ByteKernel {
    Maps bytes;
    std::vector<float> steps;  ///< what one of them counts for, an output each
    std::vector<float> off;    ///< what rounding them adds to an output on average
  };

  std::vector<float> bias_of(const std::string& name, const Convolution& how) const;
  Terms byte_terms(const std::string& name, const ByteMaps& maps, const Convolution& how) const;
  const ByteKernel& byte_kernel(const std::string& name, const dnnl::memory::dims& shape) const;
  const Maps& kernel_in_order(const Terms& terms, const dnnl::memory::desc& order) const;
  Maps summed(const Terms& terms, const Convolution& how, Maps* onto = nullptr) const;
  float step_for(const std::string& name) const;
  void run(const dnnl::primitive& primitive, const std::unordered_map<int, Maps>& parts) const;
  Maps in_order(const Maps& maps, const dnnl::memory::desc& order) const;

  Weights weights;
  dnnl::engine engine{dnnl::engine::kind::cpu, 0};
  mutable dnnl::stream stream{engine};
  // Made once, since a picture is looked at in bands and a network may look again.
  mutable std::unordered_map<std::string, ByteKernel> byte_kernels;
  mutable std::unordered_map<std::string, Maps> ordered_kernels;
};

}  // namespace braird::vision
