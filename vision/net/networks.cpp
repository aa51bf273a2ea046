// SPDX-License-Identifier: Apache-2.0
#include "vision/net/networks.h"

#include <algorithm>
#include <opencv2/core.hpp>

#include "vision/net/layers.h"
#include "vision/net/parts.h"

namespace braird::vision {
namespace {

/// A thin layer (each channel by itself, then across channels), with a short cut where the shapes agree.
Maps block(const Layers& net, const std::string& name, Maps maps, int stride = 1, int dilation = 1) {
  const Maps seen = net.conv(name + ".depth.0", maps, {.stride = {stride, stride}, .dilation = dilation});
  const auto channels = net.tensor(name + ".point.0.weight").shape;
  const bool alike = stride == 1 && channels[0] == channels[1];
  if (!alike) maps = {};
  return net.conv(name + ".point.0", seen, {.plus = alike ? &maps : nullptr});
}

/// A whole layer, then one across channels, beside a short cut.
Maps deep(const Layers& net, const std::string& name, const Maps& maps) {
  return net.conv(name + ".across", net.conv(name + ".wide.0", maps), {.relu = false, .plus = &maps});
}

/// The layers NAME.0, NAME.1 …, whichever they are; the first takes this stride.
Maps stage(const Layers& net, const std::string& name, Maps maps, int stride,
           const std::vector<int>& dilations = {}) {
  for (std::size_t i = 0;; ++i) {
    const std::string layer = name + "." + std::to_string(i);
    if (net.has(layer + ".depth.0"))
      maps = block(net, layer, std::move(maps), i == 0 ? stride : 1, i < dilations.size() ? dilations[i] : 1);
    else if (net.has(layer + ".wide.0"))
      maps = deep(net, layer, maps);
    else if (net.has(layer + ".0"))
      maps = net.conv(layer + ".0", maps);
    else
      return maps;
  }
}

/// How many whole layers a stage has; each sees a row further.
int deep_layers(const Layers& net, const std::string& name, int first) {
  int count = 0;
  while (net.has(name + "." + std::to_string(first + count) + ".wide.0")) ++count;
  return count;
}

/// Maps with those twice as fine beside them.
Maps with_finer(const Layers& net, const Maps& maps, const Maps& finer) {
  return net.joined(net.twice_as_large(maps), finer);
}

constexpr int kMultiple = 32;  // the lattice's network halves its input five times

int padded(int side) {
  return (side + kMultiple - 1) / kMultiple * kMultiple;
}

/// These rows of a picture as the lattice's network takes them; what lies beyond the picture is 0.
cv::Mat lattice_input(const cv::Mat& picture, const cv::Range& rows) {
  cv::Mat input = cv::Mat::zeros(rows.size(), padded(picture.cols), CV_32FC3);
  const cv::Range shown(rows.start, std::min(rows.end, picture.rows));
  picture.rowRange(shown).convertTo(input(cv::Rect(0, 0, picture.cols, shown.size())), CV_32FC3,
                                    1 / 255.0 / 0.25, -0.45 / 0.25);
  return input;
}

/// The layers down to a quarter of the picture's size, in bands, too.
cv::Mat quarter_maps(const Layers& net, const cv::Mat& picture) {
  constexpr int kBand = 40;  // rows of a quarter
  const int rows = padded(picture.rows) / 4;
  cv::Mat result;
  for (const Band& band : bands_of(rows, kBand, 2 + deep_layers(net, "d1", 2))) {
    const cv::Mat input = lattice_input(picture, times(4, band.seen));
    Maps half = net.conv("stem.0", net.from_picture(input), {.stride = {2, 2}});
    const cv::Mat seen = net.to_picture(stage(net, "d1", std::move(half), 2));
    if (result.empty()) result.create(rows, seen.cols, seen.type());
    keep(seen, band, 1, result);
  }
  return result;
}

/// The layers back at a quarter of the picture's size, likewise.
cv::Mat finest_logits(const Layers& net, const Maps& eighth, const Maps& quarter) {
  constexpr int kBand = 20;  // rows of an eighth
  const int rows = static_cast<int>(eighth.get_desc().dims()[2]);
  cv::Mat result;
  for (const Band& band : bands_of(rows, kBand, 1 + (deep_layers(net, "u1", 2) + 1) / 2)) {
    Maps maps = with_finer(net, net.rows_of(eighth, band.seen), net.rows_of(quarter, times(2, band.seen)));
    maps = stage(net, "u1", std::move(maps), 1);
    const cv::Mat seen = net.to_picture(net.conv("out", maps, {.relu = false}));
    if (result.empty()) result.create(2 * rows, seen.cols, seen.type());
    keep(seen, band, 2, result);
  }
  return result;
}

}  // namespace

cv::Mat lattice_logits(const cv::Mat& picture, Model model) {
  const Layers net(model_weights(model));
  const cv::Mat fine = quarter_maps(net, picture);
  const Maps quarter = net.from_picture(fine), eighth = stage(net, "d2", quarter, 2);
  const Maps sixteenth = stage(net, "d3", eighth, 2);
  const Maps least = stage(net, "d4", sixteenth, 2, {1, 2, 4, 2});
  const Maps maps = stage(net, "u3", with_finer(net, least, sixteenth), 1);
  return finest_logits(net, stage(net, "u2", with_finer(net, maps, eighth), 1), quarter);
}

}  // namespace braird::vision
