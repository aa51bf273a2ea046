// SPDX-License-Identifier: Apache-2.0
#include "vision/net/networks.h"

#include <algorithm>
#include <numeric>
#include <opencv2/core.hpp>

#include "vision/net/layers.h"

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

/// Blocks NAME.0, NAME.1 …, the first of which takes this stride.
Maps blocks(const Layers& net, const std::string& name, Maps maps, int stride,
            const std::vector<int>& dilations = {}) {
  for (std::size_t i = 0; net.has(name + "." + std::to_string(i) + ".depth.0"); ++i)
    maps = block(net, name + "." + std::to_string(i), std::move(maps), i == 0 ? stride : 1,
                 i < dilations.size() ? dilations[i] : 1);
  return maps;
}

/// Maps with those twice as fine beside them.
Maps with_finer(const Layers& net, const Maps& maps, const Maps& finer) {
  return net.joined(net.twice_as_large(maps), finer);
}

/// Rows of a result, and those that are looked at for them.
struct Band {
  cv::Range kept, seen;
};

/// Parts of at most so many rows of which `halo` more are seen on either side, unless the picture ends there.
/// All are seen in the same height, so that one program of machine code serves them all.
std::vector<Band> bands_of(int rows, int most, int halo) {
  const int count = (rows + most - 1) / most, height = std::min(rows, (rows + count - 1) / count + 2 * halo);
  std::vector<Band> bands;
  for (int i = 0; i < count; ++i) {
    const cv::Range kept(rows * i / count, rows * (i + 1) / count);
    const int first = std::clamp(kept.start - halo, 0, rows - height);
    bands.push_back({kept, {first, first + height}});
  }
  return bands;
}

cv::Range times(int factor, const cv::Range& range) {
  return {factor * range.start, factor * range.end};
}

/// Puts what was seen of a band where it belongs.
void keep(const cv::Mat& seen, const Band& band, int factor, cv::Mat& result) {
  const cv::Range kept = times(factor, band.kept);
  const int first = factor * band.seen.start;
  seen.rowRange(kept.start - first, kept.end - first).copyTo(result.rowRange(kept));
}

/// Of each channel over the picture, its mean or what else this kind of cv::reduce gives.
std::vector<float> over_places(const cv::Mat& picture, int kind) {
  cv::Mat result;
  cv::reduce(picture.reshape(1, picture.rows * picture.cols), result, 0, kind);
  return result;
}

/// A layer of one place, without an executor's ado.
std::vector<float> at_one_place(const Layers& net, const std::string& name,
                                const std::vector<float>& values) {
  const Tensor &weight = net.tensor(name + ".weight"), &bias = net.tensor(name + ".bias");
  std::vector<float> result(bias.values.begin(), bias.values.end());
  for (std::size_t o = 0; o < result.size(); ++o)
    result[o] =
        std::inner_product(values.begin(), values.end(), &weight.values[o * values.size()], result[o]);
  return result;
}

/// Each place's logits to chances.
void softmax(cv::Mat& picture) {
  cv::Mat places = picture.reshape(1, picture.rows * picture.cols), most, sum;
  cv::reduce(places, most, 1, cv::REDUCE_MAX);
  cv::exp(places - cv::repeat(most, 1, places.cols), places);
  cv::reduce(places, sum, 1, cv::REDUCE_SUM);
  places /= cv::repeat(sum, 1, places.cols);
}

constexpr int kMidByte = 128;  // what is taken off a pixel, so that it fits into a byte with sign
constexpr double kLeastMean = 2.55;
constexpr double kMostLight = 4;  // times the mean; brighter pixels count as such

/// The counter's first layer learned to see each channel over the tray's mean, less 1 (so coloured light and
/// the medium's own colour cancel out). Here it is made to see plain pixels less `kMidByte`, to the same
/// effect.
void look_through(const cv::Scalar& mean, Tensor& weight, Tensor& bias) {
  const std::size_t window = static_cast<std::size_t>(weight.shape[2]) * weight.shape[3];
  auto at = weight.values.begin();
  for (float& sum : bias.values)
    for (int channel = 0; channel < weight.shape[1]; ++channel)
      for (std::size_t i = 0; i < window; ++i, ++at) {
        const auto per_pixel = static_cast<float>(*at / mean[channel]);
        sum += kMidByte * per_pixel - *at;
        *at = per_pixel;
      }
}

cv::Scalar light_of(const cv::Mat& tray) {
  cv::Scalar mean = cv::mean(tray);
  for (int c = 0; c < 3; ++c) mean[c] = std::max(mean[c], kLeastMean);
  return mean;
}

/// These rows of the tray with a margin, as the first layer sees them.
cv::Mat seen_pixels(const cv::Mat& tray, const cv::Range& rows, int margin, const cv::Scalar& mean) {
  cv::Mat pixels;
  cv::copyMakeBorder(tray.rowRange(rows), pixels, margin, margin, margin, margin,
                     cv::BORDER_CONSTANT | cv::BORDER_ISOLATED, mean);
  if (*std::min_element(mean.val, mean.val + 3) * kMostLight < 255)
    cv::min(pixels, kMostLight * mean, pixels);
  pixels.convertTo(pixels, CV_8S, 1, -kMidByte);
  return pixels;
}

/// The first three layers, which make the picture small, and what is told: a band of rows after another, so
/// that their large maps stay near the processor.
cv::Mat shrunk_maps(const Layers& net, const cv::Mat& tray, const cv::Scalar& light, const cv::Mat& sides) {
  constexpr int kBand = 24;                  // rows of the result
  const int every = tray.rows / sides.rows;  // px of the tray a place of the result
  const int first_stride = every / 4, margin = net.tensor("down.0.0.weight").shape[2] / 2;
  cv::Mat result;
  for (const Band& band : bands_of(sides.rows, kBand, 1)) {
    const cv::Mat pixels = seen_pixels(tray, times(every, band.seen), margin, light);
    Maps maps = net.conv("down.0.0", net.from_bytes(pixels, 1),
                         {.stride = {first_stride, first_stride}, .padded = false});
    maps = net.conv("down.1.0", net.in_bytes(maps), {.stride = {2, 2}});
    const Maps told = net.conv("told", net.from_picture(sides.rowRange(band.seen)), {.relu = false});
    maps = net.conv("down.2.0", net.in_bytes(maps), {.stride = {2, 2}, .plus = &told});
    const cv::Mat small = net.to_picture(maps);
    if (result.empty()) result.create(sides.size(), small.type());
    keep(small, band, 1, result);
  }
  return result;
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
  for (const Band& band : bands_of(rows, kBand, 2)) {
    const cv::Mat input = lattice_input(picture, times(4, band.seen));
    Maps half = net.conv("stem.0", net.from_picture(input), {.stride = {2, 2}});
    const cv::Mat seen = net.to_picture(blocks(net, "d1", std::move(half), 2));
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
  for (const Band& band : bands_of(rows, kBand, 1)) {
    Maps maps = with_finer(net, net.rows_of(eighth, band.seen), net.rows_of(quarter, times(2, band.seen)));
    maps = blocks(net, "u1", std::move(maps), 1);
    const cv::Mat seen = net.to_picture(net.conv("out", net.conv("u1.1.0", maps), {.relu = false}));
    if (result.empty()) result.create(2 * rows, seen.cols, seen.type());
    keep(seen, band, 2, result);
  }
  return result;
}

cv::Mat chances_of(Weights weights, const cv::Mat& tray, const cv::Mat& sides) {
  const cv::Scalar light = light_of(tray);
  look_through(light, weights.at("down.0.0.weight"), weights.at("down.0.0.bias"));
  const Layers net(std::move(weights), std::max(1, cv::getNumThreads()));
  cv::Mat small = shrunk_maps(net, tray, light, sides);
  Maps maps = net.from_picture(small);
  for (int i = 0; net.has("body." + std::to_string(i) + ".conv.0"); ++i) {
    maps = net.conv("body." + std::to_string(i) + ".conv.0", net.in_bytes(maps), {.plus = &maps});
    small.release();
  }
  maps = net.conv("gather.0", net.conv("wide.0", net.in_bytes(maps), {.packed = true}),
                  {.stride = {3, 6}, .padded = false, .packed = true});
  const std::vector<float> common = over_places(net.to_picture(net.conv("common.0", maps)), cv::REDUCE_AVG);
  maps = net.conv("head", maps, {.bias = at_one_place(net, "judge", common)});
  cv::Mat result = net.to_picture(net.conv("out", maps, {.relu = false}));
  softmax(result);
  return result;
}

LineChances line_chances(const Layers& net, const cv::Mat& strip) {
  Maps maps = net.conv("down.0.0", net.from_picture(strip), {.stride = {2, 2}});
  for (const char* name : {"down.1.0", "down.2.0"}) maps = net.conv(name, maps, {.stride = {2, 2}});
  maps = net.conv("gather.0", net.conv("down.3.0", maps), {.padded = false});
  const cv::Mat places = net.to_picture(maps);
  std::vector<float> pooled = over_places(places, cv::REDUCE_AVG);
  const std::vector<float> most = over_places(places, cv::REDUCE_MAX);
  pooled.insert(pooled.end(), most.begin(), most.end());
  std::vector<float> hidden = at_one_place(net, "head", pooled);
  for (float& value : hidden) value = std::max(0.0F, value);
  std::vector<float> values = at_one_place(net, "out", hidden);
  cv::Mat logits(1, 1, CV_32FC4, values.data());
  softmax(logits);
  return {values[0], values[1], values[2], values[3]};
}

}  // namespace

std::vector<LineChances> line_chances(const std::vector<cv::Mat>& strips) {
  constexpr int kThreads = 1;  // so small that several wait longer than they work
  const Layers net(model_weights(Model::ends), kThreads);
  std::vector<LineChances> chances(strips.size());
  std::transform(strips.begin(), strips.end(), chances.begin(),
                 [&](const cv::Mat& strip) { return line_chances(net, strip); });
  return chances;
}

cv::Mat lattice_logits(const cv::Mat& picture, int threads) {
  const Layers net(model_weights(Model::lattice), threads);
  const cv::Mat fine = quarter_maps(net, picture);
  const Maps quarter = net.from_picture(fine), eighth = blocks(net, "d2", quarter, 2);
  const Maps sixteenth = blocks(net, "d3", eighth, 2);
  const Maps least = blocks(net, "d4", sixteenth, 2, {1, 2, 4, 2});
  const Maps maps = blocks(net, "u3", with_finer(net, least, sixteenth), 1);
  return finest_logits(net, blocks(net, "u2", with_finer(net, maps, eighth), 1), quarter);
}

cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides, int look) {
  const Weights weights = model_weights(model);
  int members = 0;
  while (weights.contains("nets." + std::to_string(members) + ".out.weight")) ++members;
  return chances_of(under("nets." + std::to_string(look % members) + ".", weights), tray, sides);
}

}  // namespace braird::vision
