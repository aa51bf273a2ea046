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

/// How a tray is flipped before it is looked at: about a level axis, an upright one, or both.
struct Flip {
  bool upside_down, left_right;
};

constexpr Flip kFlips[kMostLooks] = {{false, false}, {true, true}, {false, true}, {true, false}};

cv::Mat flipped(const cv::Mat& picture, const Flip& flip) {
  if (!flip.upside_down && !flip.left_right) return picture;
  cv::Mat result;
  cv::flip(picture, result, flip.upside_down && flip.left_right ? -1 : flip.left_right ? 1 : 0);
  return result;
}

/// What is told of the flipped tray: vectors point the other way there.
cv::Mat flipped_sides(const cv::Mat& sides, const Flip& flip) {
  cv::Mat result = flipped(sides, flip).clone();
  result.forEach<cv::Vec<float, 8>>([&](cv::Vec<float, 8>& place, const int*) {
    if (flip.left_right) place[0] = -place[0];
    if (flip.upside_down) place[1] = -place[1];
  });
  return result;
}

/// A tray as a network sees it.
struct Seen {
  const cv::Mat& tray;
  cv::Scalar light;
  Flip flip;
  cv::Mat sides;
};

/// These rows of the flipped tray as the first layer sees them. (Beyond them it takes 0, so `kMidByte`, for
/// the medium's mean; a cell away from where it counts.)
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

/// The first three layers, which make the picture small, and what is told: a band of rows after another, so
/// that their large maps stay near the processor.
cv::Mat shrunk_maps(const Layers& net, const Seen& seen) {
  constexpr int kBand = 24;  // rows of the result
  const cv::Size size = seen.sides.size();
  const int every = seen.tray.rows / size.height;  // px of the tray a place of the result
  const int first_stride = every / 4;
  cv::Mat result;
  for (const Band& band : bands_of(size.height, kBand, 1)) {
    const cv::Mat pixels = seen_pixels(seen, times(every, band.seen));
    ByteMaps maps = net.conv_for("down.1.0", "down.0.0", net.from_bytes(pixels, 1),
                                 {.stride = {first_stride, first_stride}});
    maps = net.conv_for("down.2.0", "down.1.0", maps, {.stride = {2, 2}});
    const Maps told = net.conv("told", net.from_picture(seen.sides.rowRange(band.seen)), {.relu = false});
    const cv::Mat small = net.to_picture(net.conv("down.2.0", maps, {.stride = {2, 2}, .plus = &told}));
    if (result.empty()) result.create(size, small.type());
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

/// The network as it looks at trays in this light.
Layers network_for(Weights weights, const cv::Scalar& light) {
  look_through(light, weights);
  return {std::move(weights), std::max(1, cv::getNumThreads())};
}

/// `common`: what the cells have in common, if that is known; else it is filled in.
cv::Mat chances_of(const Layers& net, const Seen& seen, std::vector<float>& common) {
  cv::Mat small = shrunk_maps(net, seen);
  Maps maps = net.from_picture(small);
  const auto layer = [](int i) { return "body." + std::to_string(i) + ".conv.0"; };
  for (int i = 0; net.has(layer(i)); ++i) net.add_conv(maps, layer(i), net.bytes_for(layer(i), maps));
  const ByteMaps body = net.bytes_for("wide.0", maps);
  small.release();
  const cv::Mat gathered_maps = gathered(net, body);
  maps = net.from_picture(gathered_maps);
  if (common.empty()) common = over_places(net.to_picture(net.conv("common.0", maps)), cv::REDUCE_AVG);
  maps = net.conv("head", maps, {.bias = at_one_place(net, "judge", common)});
  cv::Mat result = net.to_picture(net.conv("out", maps, {.relu = false}));
  softmax(result);
  return flipped(result, seen.flip);
}

constexpr int kHalfCells = 4;  // of a cell with its margin

/// These cells side by side, each with one cell of margin: of a tray, or of what is told of it.
cv::Mat strip_of(const cv::Mat& picture, int half_cell, const std::vector<cv::Point>& places) {
  const int side = kHalfCells * half_cell;
  cv::Mat strip(side, side * static_cast<int>(places.size()), picture.type());
  for (std::size_t i = 0; i < places.size(); ++i) {
    const cv::Rect from(half_cell * places[i].x, 2 * half_cell * places[i].y, side, side);
    picture(from).copyTo(strip.colRange(side * static_cast<int>(i), side * (static_cast<int>(i) + 1)));
  }
  return strip;
}

}  // namespace

cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides, int looks) {
  const cv::Scalar light = light_of(tray);
  std::vector<Layers> committee;
  cv::Mat sum;
  for (int look = 0; look < looks; ++look) {
    Weights next = model_weights(model, "nets." + std::to_string(look) + ".");
    if (!next.empty()) committee.push_back(network_for(std::move(next), light));
    const Flip& flip = kFlips[look];
    std::vector<float> common;
    const cv::Mat chances = chances_of(committee[static_cast<std::size_t>(look) % committee.size()],
                                       {tray, light, flip, flipped_sides(sides, flip)}, common);
    if (sum.empty())
      chances.copyTo(sum);
    else
      sum += chances;
  }
  sum.convertTo(sum, CV_32F, 1.0 / looks);
  return sum;
}

cv::Mat count_chances(Model model, const cv::Mat& tray, const cv::Mat& sides, const Doubts& doubts) {
  const cv::Scalar light = light_of(tray);
  const Layers net = network_for(model_weights(model, "nets.0."), light);
  std::vector<float> common;
  cv::Mat chances = chances_of(net, {tray, light, kFlips[0], sides}, common);
  const std::vector<cv::Point> places = doubts(chances);
  if (places.empty()) return chances;
  constexpr int kTold = 3;  // places of `sides` half a cell
  const cv::Mat strip = strip_of(tray, kTold * tray.rows / sides.rows, places),
                told = flipped_sides(strip_of(sides, kTold, places), kFlips[1]);
  const cv::Mat again = chances_of(net, {strip, light, kFlips[1], told}, common);
  for (std::size_t i = 0; i < places.size(); ++i) {
    cv::Mat place = chances(cv::Rect(places[i], cv::Size(1, 1)));
    cv::addWeighted(place, 0.5, again.col(kHalfCells * static_cast<int>(i)), 0.5, 0, place);
  }
  return chances;
}

}  // namespace braird::vision
