// SPDX-License-Identifier: Apache-2.0
#include "vision/net/weights.h"

#include <bit>
#include <cstdint>
#include <cstring>
#include <functional>
#include <nlohmann/json.hpp>
#include <numeric>
#include <opencv2/core.hpp>
#include <stdexcept>

static_assert(std::endian::native == std::endian::little, "safetensors files are little-endian");

namespace braird::vision {
namespace {

void require_whole(bool whole) {
  if (!whole) throw std::invalid_argument("these bytes are not the weights of a network");
}

Tensor tensor_of(const nlohmann::json& entry, std::span<const unsigned char> data) {
  const bool whole = entry.at("dtype") == "F32";
  require_whole(whole || entry.at("dtype") == "F16");
  const int type = whole ? CV_32F : CV_16F;
  Tensor tensor{entry.at("shape").get<std::vector<int>>(), {}};
  const auto from = entry.at("data_offsets").at(0).get<std::size_t>();
  const auto to = entry.at("data_offsets").at(1).get<std::size_t>();
  const auto count =
      std::accumulate(tensor.shape.begin(), tensor.shape.end(), std::size_t{1}, std::multiplies<>());
  require_whole(from <= to && to <= data.size() && to - from == count * CV_ELEM_SIZE(type));
  if (count == 0) return tensor;
  cv::Mat values(1, static_cast<int>(count), type);
  std::memcpy(values.data, data.data() + from, to - from);
  values.convertTo(tensor.values, CV_32F);
  return tensor;
}

}  // namespace

Weights read_weights(std::span<const unsigned char> file, const std::string& prefix) {
  std::uint64_t length = 0;
  require_whole(file.size() >= sizeof length);
  std::memcpy(&length, file.data(), sizeof length);
  require_whole(length <= file.size() - sizeof length);
  const auto header = file.subspan(sizeof length, length), data = file.subspan(sizeof length + length);
  Weights weights;
  try {
    const auto json = nlohmann::json::parse(header.begin(), header.end());
    for (const auto& [name, entry] : json.items())
      if (name != "__metadata__" && name.starts_with(prefix))
        weights.emplace(name.substr(prefix.size()), tensor_of(entry, data));
  } catch (const nlohmann::json::exception&) {
    require_whole(false);
  }
  return weights;
}

}  // namespace braird::vision
