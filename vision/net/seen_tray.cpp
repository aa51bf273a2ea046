// SPDX-License-Identifier: Apache-2.0
#include "vision/net/seen_tray.h"

#include <algorithm>

#include "vision/net/parts.h"

namespace braird::vision {
namespace {

constexpr int kMidByte = 128;  // what is taken off a pixel, so that it fits into a byte with sign
constexpr double kLeastMean = 2.55;
constexpr double kMostLight = 4;  // times the mean; brighter pixels count as such

}  // namespace

cv::Scalar light_of(const cv::Mat& tray) {
  cv::Scalar mean = cv::mean(tray);
  for (int c = 0; c < 3; ++c) mean[c] = std::max(mean[c], kLeastMean);
  return mean;
}

cv::Mat flipped(const cv::Mat& picture, const Flip& flip) {
  if (!flip.upside_down && !flip.left_right) return picture;
  cv::Mat result;
  cv::flip(picture, result, flip.upside_down && flip.left_right ? -1 : flip.left_right ? 1 : 0);
  return result;
}

cv::Mat flipped_sides(const cv::Mat& sides, const Flip& flip) {
  cv::Mat result = flipped(sides, flip).clone();
  result.forEach<cv::Vec<float, 8>>([&](cv::Vec<float, 8>& place, const int*) {
    if (flip.left_right) place[0] = -place[0];
    if (flip.upside_down) place[1] = -place[1];
  });
  return result;
}

// The layer learned to see each channel over the tray's mean, less 1 (so coloured light and the medium's own
// colour cancel out). Here it is made to see plain pixels less `kMidByte`, to the same effect.
void look_through(const cv::Scalar& light, const std::string& layer, Weights& weights) {
  Tensor& weight = weights.at(layer + ".weight");
  const std::size_t window = static_cast<std::size_t>(weight.shape[2]) * weight.shape[3];
  auto at = weight.values.begin();
  for (float& sum : weights.at(layer + ".bias").values)
    for (int channel = 0; channel < weight.shape[1]; ++channel)
      for (std::size_t i = 0; i < window; ++i, ++at) {
        const auto per_pixel = static_cast<float>(*at / light[channel]);
        sum += kMidByte * per_pixel - *at;
        *at = per_pixel;
      }
  Tensor usual{{weight.shape[1]}, {}};
  for (int c = 0; c < weight.shape[1]; ++c) usual.values.push_back(static_cast<float>(light[c]) - kMidByte);
  weights[layer + ".usual"] = usual;
}

// Beyond them it takes 0, so `kMidByte`, for the medium's mean; a cell away from where it counts.
cv::Mat seen_pixels(const Seen& seen, const cv::Range& rows) {
  const int height = seen.tray.rows;
  const cv::Mat pixels =
      seen.tray.rowRange(seen.flip.upside_down ? cv::Range(height - rows.end, height - rows.start) : rows);
  const cv::Scalar most = kMostLight * seen.light;
  cv::Mat clipped, result;
  if (*std::min_element(most.val, most.val + 3) < 255) cv::min(pixels, most, clipped);
  (clipped.empty() ? pixels : clipped).convertTo(result, CV_8S, 1, -kMidByte);
  return flipped(result, seen.flip);
}

Layers network_for(Weights weights, const cv::Scalar& light) {
  look_through(light, "down.0.0", weights);
  return Layers(std::move(weights));
}

// A band of rows after another, so that the large maps stay near the processor.
Shrunk shrunk_maps(const Layers& net, const Seen& seen, bool closer) {
  constexpr int kBand = 24;  // rows of the result
  const cv::Size size = seen.sides.size();
  const int every = seen.tray.rows / size.height;  // px of the tray a place of the result
  const int first_stride = every / 4;
  Shrunk result;
  for (const Band& band : bands_of(size.height, kBand, 1)) {
    const cv::Mat pixels = seen_pixels(seen, times(every, band.seen));
    ByteMaps maps = net.conv_for("down.1.0", "down.0.0", net.from_bytes(pixels, 1),
                                 {.stride = {first_stride, first_stride}});
    maps = net.conv_for("down.2.0", "down.1.0", maps, {.stride = {2, 2}});
    const Maps told = net.conv("told", net.from_picture(seen.sides.rowRange(band.seen)), {.relu = false});
    const cv::Mat small = net.to_picture(net.conv("down.2.0", maps, {.stride = {2, 2}, .plus = &told}));
    if (result.small.empty()) result.small.create(size, small.type());
    keep(small, band, 1, result.small);
    if (!closer) continue;
    const cv::Mat fine = net.to_bytes_picture(maps);
    if (result.fine.empty()) result.fine.create(2 * size.height, 2 * size.width, fine.type());
    keep(fine, band, 2, result.fine);
    result.fine_step = maps.step;
  }
  return result;
}

}  // namespace braird::vision
