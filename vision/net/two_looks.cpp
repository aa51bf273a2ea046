// SPDX-License-Identifier: Apache-2.0
#include "vision/net/two_looks.h"

#include <algorithm>
#include <iterator>
#include <string_view>

#include "vision/net/judge_cells.h"
#include "vision/net/parts.h"

namespace braird::vision {
namespace {

constexpr const char* kPixels = "keen.0.conv.0";  // the layer that looks at the picture itself

// Of the first look's chances in the sum: where the looks disagree, neither is sure.
constexpr double kOfFirst = 0.1;

/// What the seeds of this tray look like: the mean of the places that look like one, and of what cells have
/// in common.
std::vector<float> known_of(const Layers& net, const Maps& body, const std::vector<float>& common) {
  cv::Mat marks = net.to_picture(net.conv("stems", body, {.relu = false})),
          like = net.to_picture(net.conv("like", body)), weight, sum;
  cv::exp(-marks.reshape(1, static_cast<int>(marks.total())), weight);
  weight = 1 / (1 + weight);
  cv::gemm(weight, like.reshape(1, static_cast<int>(like.total())), 1 / (cv::sum(weight)[0] + 1), {}, 0, sum,
           cv::GEMM_1_T);
  std::vector<float> both(sum.begin<float>(), sum.end<float>());
  std::ranges::copy(common, std::back_inserter(both));
  std::vector<float> known = at_one_place(net, "know", both);
  for (float& value : known) value = std::max(0.F, value);
  return known;
}

/// The second network's weights as they are for this tray: each sum scaled and shifted by what is known.
void tell(const Layers& net, const std::vector<float>& known, Weights& weights) {
  for (auto& [name, tensor] : weights) {
    constexpr std::string_view kBias = ".bias";
    if (!name.ends_with(kBias)) continue;
    const std::string layer = name.substr(0, name.size() - kBias.size());
    if (!net.has("tell." + layer)) continue;
    const std::vector<float> told = at_one_place(net, "tell." + layer, known);
    Tensor& weight = weights.at(layer + ".weight");
    const std::size_t outputs = tensor.values.size(), each = weight.values.size() / outputs;
    for (std::size_t o = 0; o < outputs; ++o) {
      const float scale = 1 + told[o];
      tensor.values[o] = tensor.values[o] * scale + told[outputs + o];
      for (std::size_t i = o * each; i < (o + 1) * each; ++i) weight.values[i] *= scale;
    }
  }
}

/// Adds what the picture itself shows, small seeds above all, to maps of eight times fewer places each way.
void add_keen(const Layers& near, const cv::Mat& pixels, Maps& maps) {
  const Convolution halving{.stride = {2, 2}};
  const ByteMaps half = near.conv_for("keen.1.conv.0", kPixels, near.from_bytes(pixels, 1), halving);
  near.add_conv(maps, "keen.2.conv.0", near.conv_for("keen.2.conv.0", "keen.1.conv.0", half, halving),
                halving);
}

/// Adds what the picture and the finer maps show to the body's, a band of rows after another.
void add_finer(const Layers& near, const Seen& seen, const Shrunk& shrunk, cv::Mat& body) {
  constexpr int kBand = 24;
  for (const Band& band : bands_of(body.rows, kBand, 2)) {
    Maps maps = near.conv("fine.0.conv.0",
                          near.from_bytes(shrunk.fine.rowRange(times(2, band.seen)), shrunk.fine_step));
    add_keen(near, seen_pixels(seen, times(seen.tray.rows / body.rows, band.seen)), maps);
    near.add_conv(maps, "fine.1.conv.0", near.bytes_for("fine.1.conv.0", maps));
    const cv::Mat finer = near.to_picture(
        near.conv("fine.2.conv.0", near.bytes_for("fine.2.conv.0", maps), {.stride = {2, 2}}));
    const int first = band.seen.start;
    cv::Mat kept = body.rowRange(band.kept);
    kept += finer.rowRange(band.kept.start - first, band.kept.end - first);
  }
}

}  // namespace

cv::Mat chances_by_two(const Layers& far, Weights near_weights, const Seen& seen) {
  const Shrunk shrunk = shrunk_maps(far, seen, true);
  const Maps maps = body_of(far, shrunk.small);
  std::vector<float> common, common_closer;
  const cv::Mat first = judged(far, gathered(far, maps), common);
  tell(far, known_of(far, maps, common), near_weights);
  look_through(seen.light, kPixels, near_weights);
  const Layers near(std::move(near_weights));
  cv::Mat body = far.to_picture(maps);
  add_finer(near, seen, shrunk, body);
  const Maps again = body_of(near, body);
  const cv::Mat second = judged(near, gathered(near, again), common_closer);
  cv::Mat both;
  cv::addWeighted(first, kOfFirst, second, 1 - kOfFirst, 0, both);
  return flipped(both, seen.flip);
}

}  // namespace braird::vision
