// SPDX-License-Identifier: Apache-2.0
#include "vision/net/judge_cells.h"

#include "vision/net/parts.h"

namespace braird::vision {
namespace {

std::vector<float> common_of(const Layers& net, const cv::Mat& gathered_maps) {
  return over_places(net.to_picture(net.conv("common.0", net.from_picture(gathered_maps))), cv::REDUCE_AVG);
}

}  // namespace

Maps body_of(const Layers& net, const cv::Mat& small) {
  Maps maps = net.from_picture(small);
  const auto layer = [](int i) { return "body." + std::to_string(i) + ".conv.0"; };
  for (int i = 0; net.has(layer(i)); ++i) net.add_conv(maps, layer(i), net.bytes_for(layer(i), maps));
  return maps;
}

// In bands, too.
cv::Mat gathered(const Layers& net, const Maps& body) {
  const ByteMaps maps = net.bytes_for("wide.0", body);
  constexpr int kBand = 4;  // rows of the result
  const int window = net.tensor("gather.0.weight").shape[2];
  const int every = (window + 1) / 2;  // rows of the maps for one of them
  const int rows = (static_cast<int>(maps.maps.get_desc().dims()[2]) - window) / every + 1;
  cv::Mat result;
  for (const Band& band : bands_of(rows, kBand, 0)) {
    const cv::Range seen(every * band.seen.start, every * (band.seen.end - 1) + window);
    const Maps wide = net.conv("wide.0", net.rows_of(maps, seen), {.packed = true});
    const cv::Mat part = net.to_picture(
        net.conv("gather.0", wide, {.stride = {every / 2, every}, .padded = false, .packed = true}));
    if (result.empty()) result.create(rows, part.cols, part.type());
    keep(part, band, 1, result);
  }
  return result;
}

cv::Mat judged(const Layers& net, const cv::Mat& gathered_maps, std::vector<float>& common) {
  if (common.empty()) common = common_of(net, gathered_maps);
  const Maps maps =
      net.conv("head", net.from_picture(gathered_maps), {.bias = at_one_place(net, "judge", common)});
  cv::Mat result = net.to_picture(net.conv("out", maps, {.relu = false}));
  softmax(result);
  return result;
}

}  // namespace braird::vision
