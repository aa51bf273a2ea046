// SPDX-License-Identifier: Apache-2.0
#include "vision/net/networks.h"

#include <numeric>
#include <opencv2/core.hpp>

#include "vision/net/layers.h"
#include "vision/plants.h"

namespace braird::vision {
namespace {

/// A thin layer (each channel by itself, then across channels), with a short cut where the shapes agree.
Maps block(const Layers& net, const std::string& name, const Maps& maps, int stride = 1, int dilation = 1) {
  const Maps seen = net.conv(name + ".depth.0", maps, {.stride = {stride, stride}, .dilation = dilation});
  const auto channels = net.tensor(name + ".point.0.weight").shape;
  const bool alike = stride == 1 && channels[0] == channels[1];
  return net.conv(name + ".point.0", seen, {.plus = alike ? &maps : nullptr});
}

/// Blocks NAME.0, NAME.1 …, the first of which takes this stride.
Maps blocks(const Layers& net, const std::string& name, Maps maps, int stride,
            const std::vector<int>& dilations = {}) {
  for (std::size_t i = 0; net.has(name + "." + std::to_string(i) + ".depth.0"); ++i)
    maps = block(net, name + "." + std::to_string(i), maps, i == 0 ? stride : 1,
                 i < dilations.size() ? dilations[i] : 1);
  return maps;
}

/// The mean of each channel over the picture.
std::vector<float> means(const cv::Mat& picture) {
  cv::Mat sums;
  cv::reduce(picture.reshape(1, picture.rows * picture.cols), sums, 0, cv::REDUCE_AVG);
  return sums;
}

/// A layer of one place, without an executor's ado.
std::vector<float> at_one_place(const Layers& net, const std::string& name,
                                const std::vector<float>& values) {
  const Tensor &weight = net.tensor(name + ".weight"), &bias = net.tensor(name + ".bias");
  std::vector<float> result(bias.values.begin(), bias.values.end());
  for (std::size_t o = 0; o < result.size(); ++o)
    result[o] = std::inner_product(values.begin(), values.end(),
                                   weight.values.subspan(o * values.size()).begin(), result[o]);
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

/// The first three layers, which make the picture small, and what is told: a band of rows after another, so
/// that their large maps stay near the processor.
cv::Mat shrunk_maps(const Layers& net, const cv::Mat& tray, const cv::Mat& told) {
  constexpr int kBand = 48;                 // rows of the result
  const int every = tray.rows / told.rows;  // px of the tray a place of the result
  const int first_stride = every / 4;
  const cv::Scalar light = cv::mean(tray);
  cv::Mat result(told.size(), told.type());
  for (int top = 0; top < told.rows; top += kBand) {
    const cv::Range rows(top, std::min(told.rows, top + kBand));
    // A row more on each side, since what lies beyond the band counts as nothing there.
    const cv::Range seen(std::max(0, rows.start - 1), std::min(told.rows, rows.end + 1));
    const cv::Mat band = balanced(tray.rowRange(every * seen.start, every * seen.end), light);
    Maps maps = net.conv("down.0.0", net.from_picture(band), {.stride = {first_stride, first_stride}});
    maps = net.conv("down.1.0", maps, {.stride = {2, 2}});
    const cv::Mat small = net.to_picture(net.conv("down.2.0", maps, {.stride = {2, 2}}));
    cv::add(small.rowRange(rows.start - seen.start, rows.end - seen.start), told.rowRange(rows),
            result.rowRange(rows));
  }
  return result;
}

cv::Mat chances_of(const Layers& net, const cv::Mat& tray, const cv::Mat& sides) {
  const cv::Mat told = net.to_picture(net.conv("told", net.from_picture(sides), {.relu = false}));
  const cv::Mat small = shrunk_maps(net, tray, told);
  Maps maps = net.from_picture(small);
  for (int i = 0; net.has("body." + std::to_string(i) + ".conv.0"); ++i)
    maps = net.conv("body." + std::to_string(i) + ".conv.0", maps, {.packed = true, .plus = &maps});
  maps = net.conv("gather.0", net.conv("wide.0", maps, {.packed = true}),
                  {.stride = {3, 6}, .padded = false, .packed = true});
  const std::vector<float> common = means(net.to_picture(net.conv("common.0", maps)));
  maps = net.conv("head", maps, {.bias = at_one_place(net, "judge", common)});
  cv::Mat result = net.to_picture(net.conv("out", maps, {.relu = false}));
  softmax(result);
  return result;
}

}  // namespace

cv::Mat lattice_logits(const cv::Mat& picture, int threads) {
  const Layers net(model_weights(Model::lattice), threads);
  const Maps half = net.conv("stem.0", net.from_picture(picture), {.stride = {2, 2}});
  const Maps quarter = blocks(net, "d1", half, 2), eighth = blocks(net, "d2", quarter, 2);
  const Maps sixteenth = blocks(net, "d3", eighth, 2);
  const Maps least = blocks(net, "d4", sixteenth, 2, {1, 2, 4, 2});
  Maps maps = blocks(net, "u3", net.joined(net.twice_as_large(least), sixteenth), 1);
  maps = blocks(net, "u2", net.joined(net.twice_as_large(maps), eighth), 1);
  maps = blocks(net, "u1", net.joined(net.twice_as_large(maps), quarter), 1);
  return net.to_picture(net.conv("out", net.conv("u1.1.0", maps), {.relu = false}));
}

cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides) {
  const Weights weights = model_weights(model);
  cv::Mat sum;
  int members = 0;
  for (Weights member; !(member = under("nets." + std::to_string(members) + ".", weights)).empty();
       ++members) {
    const cv::Mat chances = chances_of({std::move(member), std::max(1, cv::getNumThreads())}, tray, sides);
    if (sum.empty())
      sum = chances;
    else
      sum += chances;
  }
  sum.convertTo(sum, CV_32F, 1.0 / members);
  return sum;
}

}  // namespace braird::vision
