// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <opencv2/core.hpp>

#include "vision/net/layers.h"
#include "vision/net/networks.h"
#include "vision/net/parts.h"

namespace braird::vision {
namespace {

constexpr int kMidByte = 128;  // what is taken off a pixel, so that it fits into a byte with sign
constexpr double kLeastMean = 2.55;
constexpr double kMostLight = 4;  // times the mean; brighter pixels count as such

/// The counter's first layer learned to see each channel over the tray's mean, less 1 (so coloured light and
/// the medium's own colour cancel out). Here it is made to see plain pixels less `kMidByte`, to the same
/// effect.
void look_through(const cv::Scalar& mean, Weights& weights) {
  Tensor& weight = weights.at("down.0.0.weight");
  const std::size_t window = static_cast<std::size_t>(weight.shape[2]) * weight.shape[3];
  auto at = weight.values.begin();
  for (float& sum : weights.at("down.0.0.bias").values)
    for (int channel = 0; channel < weight.shape[1]; ++channel)
      for (std::size_t i = 0; i < window; ++i, ++at) {
        const auto per_pixel = static_cast<float>(*at / mean[channel]);
        sum += kMidByte * per_pixel - *at;
        *at = per_pixel;
      }
  Tensor usual{{weight.shape[1]}, {}};
  for (int c = 0; c < weight.shape[1]; ++c) usual.values.push_back(static_cast<float>(mean[c]) - kMidByte);
  weights["down.0.0.usual"] = usual;
}

cv::Scalar light_of(const cv::Mat& tray) {
  cv::Scalar mean = cv::mean(tray);
  for (int c = 0; c < 3; ++c) mean[c] = std::max(mean[c], kLeastMean);
  return mean;
}

/// These rows of the tray as the first layer sees them. (Beyond them it takes 0, so `kMidByte`, for the
/// medium's mean; a cell away from where it counts.)
cv::Mat seen_pixels(const cv::Mat& tray, const cv::Range& rows, const cv::Scalar& mean) {
  cv::Mat pixels = tray.rowRange(rows);
  const cv::Scalar most = kMostLight * mean;
  if (*std::min_element(most.val, most.val + 3) < 255) pixels = cv::min(pixels, most);
  cv::Mat result;
  pixels.convertTo(result, CV_8S, 1, -kMidByte);
  return result;
}

/// The first three layers, which make the picture small, and what is told: a band of rows after another, so
/// that their large maps stay near the processor.
cv::Mat shrunk_maps(const Layers& net, const cv::Mat& tray, const cv::Scalar& light, const cv::Mat& sides) {
  constexpr int kBand = 24;                  // rows of the result
  const int every = tray.rows / sides.rows;  // px of the tray a place of the result
  const int first_stride = every / 4;
  cv::Mat result;
  for (const Band& band : bands_of(sides.rows, kBand, 1)) {
    const cv::Mat pixels = seen_pixels(tray, times(every, band.seen), light);
    ByteMaps maps = net.conv_for("down.1.0", "down.0.0", net.from_bytes(pixels, 1),
                                 {.stride = {first_stride, first_stride}});
    maps = net.conv_for("down.2.0", "down.1.0", maps, {.stride = {2, 2}});
    const Maps told = net.conv("told", net.from_picture(sides.rowRange(band.seen)), {.relu = false});
    const cv::Mat small = net.to_picture(net.conv("down.2.0", maps, {.stride = {2, 2}, .plus = &told}));
    if (result.empty()) result.create(sides.size(), small.type());
    keep(small, band, 1, result);
  }
  return result;
}

/// What the body's maps are gathered to, at one place for each row and half column of cells; in bands, too.
cv::Mat gathered(const Layers& net, const ByteMaps& maps) {
  constexpr int kBand = 4;   // rows of the result
  constexpr int kEvery = 6;  // rows of the maps for one of them
  const int window = net.tensor("gather.0.weight").shape[2];
  const int rows = (static_cast<int>(maps.maps.get_desc().dims()[2]) - window) / kEvery + 1;
  cv::Mat result;
  for (const Band& band : bands_of(rows, kBand, 0)) {
    const cv::Range seen(kEvery * band.seen.start, kEvery * (band.seen.end - 1) + window);
    const Maps wide = net.conv("wide.0", net.rows_of(maps, seen), {.packed = true});
    const cv::Mat part =
        net.to_picture(net.conv("gather.0", wide, {.stride = {3, kEvery}, .padded = false, .packed = true}));
    if (result.empty()) result.create(rows, part.cols, part.type());
    keep(part, band, 1, result);
  }
  return result;
}

cv::Mat chances_of(Weights weights, const cv::Mat& tray, const cv::Mat& sides) {
  const cv::Scalar light = light_of(tray);
  look_through(light, weights);
  const Layers net(std::move(weights), std::max(1, cv::getNumThreads()));
  cv::Mat small = shrunk_maps(net, tray, light, sides);
  Maps maps = net.from_picture(small);
  const auto layer = [](int i) { return "body." + std::to_string(i) + ".conv.0"; };
  for (int i = 0; net.has(layer(i)); ++i) net.add_conv(maps, layer(i), net.bytes_for(layer(i), maps));
  const ByteMaps body = net.bytes_for("wide.0", maps);
  small.release();
  const cv::Mat gathered_maps = gathered(net, body);
  maps = net.from_picture(gathered_maps);
  const std::vector<float> common = over_places(net.to_picture(net.conv("common.0", maps)), cv::REDUCE_AVG);
  maps = net.conv("head", maps, {.bias = at_one_place(net, "judge", common)});
  cv::Mat result = net.to_picture(net.conv("out", maps, {.relu = false}));
  softmax(result);
  return result;
}

}  // namespace

cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides, int look) {
  const Weights weights = model_weights(model);
  int members = 0;
  while (weights.contains("nets." + std::to_string(members) + ".out.weight")) ++members;
  return chances_of(under("nets." + std::to_string(look % members) + ".", weights), tray, sides);
}

}  // namespace braird::vision
