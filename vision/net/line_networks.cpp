// SPDX-License-Identifier: Apache-2.0
// The networks that look along lines of a lattice: where trays end, and where two of them meet.
#include <algorithm>
#include <cmath>
#include <opencv2/core.hpp>

#include "vision/net/layers.h"
#include "vision/net/networks.h"
#include "vision/net/parts.h"

namespace braird::vision {
namespace {

constexpr int kStride = 4;       // px of a sheet a place of its maps
constexpr int kStripStride = 8;  // and of a strip

/// A sheet as maps for the layer "down.2.0", four times as small.
ByteMaps shrunk_sheet(const Layers& net, const cv::Mat& sheet) {
  constexpr const char *kFirst = "down.0.0", *kSecond = "down.1.0";
  const Convolution halving{.stride = {2, 2}};
  const ByteMaps pixels = net.bytes_for(kFirst, net.from_picture(sheet));
  return net.conv_for("down.2.0", kSecond, net.conv_for(kSecond, kFirst, pixels, halving), halving);
}

/// Parts of a strip's places, all seen in the same width, so that one program of machine code serves strips
/// of any length.
std::vector<Band> windows_of(int places) {
  constexpr int kHalo = 3;
  const int window = std::min(24, places);
  std::vector<Band> windows;
  for (int kept = 0; kept < places; kept = windows.back().kept.end) {
    const int start = std::clamp(kept - kHalo, 0, places - window), end = start + window;
    windows.push_back({{kept, end == places ? end : end - kHalo}, {start, end}});
  }
  return windows;
}

/// What the network sees along a strip, 96 channels a place.
cv::Mat places_along(const Layers& net, const cv::Mat& strip) {
  cv::Mat result;
  for (const Band& window : windows_of(strip.cols / kStripStride)) {
    const cv::Mat part = strip.colRange(times(kStripStride, window.seen)).clone();
    ByteMaps maps = net.conv_for("down.3.0", "down.2.0", shrunk_sheet(net, part), {.stride = {2, 2}});
    maps = net.conv_for("gather.0", "down.3.0", maps);
    const cv::Mat seen = net.to_picture(net.conv("gather.0", maps, {.padded = false}));
    result.push_back(
        seen.reshape(0, seen.cols)
            .rowRange(window.kept.start - window.seen.start, window.kept.end - window.seen.start));
  }
  return result;
}

LineChances line_chances(const Layers& net, const cv::Mat& strip) {
  const cv::Mat places = places_along(net, strip);
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

/// Mean and most of each channel along each line of places across (down, if `upright`) the lattice; beyond
/// its ends none.
cv::Mat profile_of(const cv::Mat& places, const cv::Rect& inside, bool upright) {
  const int all = upright ? places.cols : places.rows, channels = places.channels();
  const cv::Range shown = upright ? cv::Range(inside.x, inside.br().x) : cv::Range(inside.y, inside.br().y);
  cv::Mat profile = cv::Mat::zeros(all, 2 * channels, CV_32F);
  for (int i = shown.start; i < shown.end; ++i) {
    const cv::Rect line =
        upright ? cv::Rect(i, inside.y, 1, inside.height) : cv::Rect(inside.x, i, inside.width, 1);
    const cv::Mat values = places(line).clone().reshape(1, line.area());
    cv::reduce(values, profile(cv::Rect(0, i, channels, 1)), 0, cv::REDUCE_AVG);
    cv::reduce(values, profile(cv::Rect(channels, i, channels, 1)), 0, cv::REDUCE_MAX);
  }
  // Downwards: oneDNN makes far less code for such a line than for one across.
  return profile.reshape(2 * channels, all);
}

/// Chances of lines, one for half a cell.
std::vector<float> chances_along(const Layers& net, const std::string& name, const ByteMaps& maps,
                                 const cv::Rect& inside) {
  const cv::Mat places = net.to_picture(net.conv(name + ".0.0", maps));
  const cv::Mat profile = profile_of(places, inside, name == "upright");
  Maps line = net.conv(name + ".1.0", net.from_picture(profile));
  line = net.conv(name + ".2.0", line, {.dilation = 3});
  line = net.conv(name + ".3.0", line, {.dilation = 6});
  const cv::Mat logits = net.to_picture(net.conv(name + ".4", line, {.relu = false}));
  std::vector<float> chances;
  for (int i = 0; i < logits.rows; i += 2) chances.push_back(1 / (1 + std::exp(-logits.at<float>(i))));
  return chances;
}

}  // namespace

SeamChances seam_chances(const cv::Mat& sheet, const cv::Rect& inside) {
  const Layers net(model_weights(Model::seams));
  ByteMaps maps = net.conv_for("down.3.0", "down.2.0", shrunk_sheet(net, sheet));
  maps = net.conv_for("upright.0.0", "down.3.0", maps);  // "level.0.0" reaches as far
  const cv::Rect places(inside.tl() / kStride, inside.br() / kStride);
  return {chances_along(net, "upright", maps, places), chances_along(net, "level", maps, places)};
}

std::vector<LineChances> line_chances(const std::vector<cv::Mat>& strips) {
  const Layers net(model_weights(Model::ends));
  std::vector<LineChances> chances(strips.size());
  std::transform(strips.begin(), strips.end(), chances.begin(),
                 [&](const cv::Mat& strip) { return line_chances(net, strip); });
  return chances;
}

}  // namespace braird::vision
