// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <cmath>
#include <tuple>

#include "tests/vision/one_layer.h"
#include "vision/net/layers.h"

using namespace braird::vision;

namespace {

/// The layer's weights, and what is known of its inputs: how far they reach and their usual value.
Weights with_inputs(const OneLayer& layer, float reach, float usual = 0) {
  Weights weights = layer.weights();
  weights["layer.reach"] = {{1}, {reach}};
  weights["layer.usual"] = {{layer.shape[1]},
                            std::vector<float>(static_cast<std::size_t>(layer.shape[1]), usual)};
  return weights;
}

}  // namespace

TEST_CASE("in whole numbers of 8 bits a layer's sums are about those of the definition") {
  cv::RNG rng(13);
  constexpr float kReach = 1.5F;
  for (const auto& [shape, channels, how] :
       {std::tuple(std::vector{24, 3, 5, 5}, 3, Convolution{.stride = {3, 3}}),
        std::tuple(std::vector{64, 32, 3, 3}, 32, Convolution{.stride = {2, 2}, .relu = false}),
        std::tuple(std::vector{128, 64, 1, 1}, 64, Convolution{.packed = true})}) {
    const OneLayer layer(shape, rng);
    Weights weights = with_inputs(layer, kReach);
    weights["next.reach"] = {{1}, {20}};
    const Layers net(weights);
    const cv::Mat picture = drawn_picture(15, 16, channels, rng);
    const Maps maps = net.from_picture(picture);
    const cv::Mat exact = net.to_picture(net.conv("layer", maps, how));
    const cv::Mat seen = net.to_picture(net.conv("layer", net.bytes_for("layer", maps), how));
    // Each factor is off by up to half a step, of some 85 between 0 and its usual most; errors add up as a
    // walk does.
    const double terms = shape[1] * shape[2] * shape[3], step = kReach / 127 / std::sqrt(12.0);
    CHECK(cv::norm(seen, exact, cv::NORM_L2) / std::sqrt(static_cast<double>(exact.total()) * shape[0]) <
          2 * step * std::sqrt(terms));
    if (how.packed) continue;
    const ByteMaps next = net.conv_for("next", "layer", net.bytes_for("layer", maps), how);
    CHECK(next.step == doctest::Approx(20.0 / 127));
    cv::Mat bytes(seen.size(), CV_8SC(shape[0]), next.maps.get_data_handle()), values;
    bytes.convertTo(values, CV_32F, next.step);
    CHECK(cv::norm(values, seen, cv::NORM_INF) < 0.51 * next.step);
  }
}

TEST_CASE("what reaches farther than a layer expects counts as its most") {
  cv::RNG rng(14);
  const Layers net(with_inputs({{8, 4, 1, 1}, rng}, 2));
  const auto with = [&](double value) {
    const cv::Mat picture(3, 3, CV_32FC(4), cv::Scalar::all(value));
    return net.to_picture(
        net.conv("layer", net.bytes_for("layer", net.from_picture(picture)), {.relu = false}));
  };
  CHECK(cv::norm(with(2), with(50), cv::NORM_INF) == 0);
  CHECK(cv::norm(with(2), with(1), cv::NORM_INF) > 0.1);
}

TEST_CASE("what a layer adds to maps is what it adds elsewhere") {
  cv::RNG rng(15);
  const Layers net(with_inputs({{16, 16, 3, 3}, rng}, 1));
  const cv::Mat picture = drawn_picture(9, 11, 16, rng);
  cv::Mat sum = picture.clone();
  Maps onto = net.from_picture(sum);
  const ByteMaps bytes = net.bytes_for("layer", onto);
  net.add_conv(onto, "layer", bytes);
  const cv::Mat apart = net.to_picture(net.conv("layer", bytes));
  CHECK(cv::norm(sum, apart + picture, cv::NORM_INF) < 1e-4);
  CHECK(cv::norm(sum, picture, cv::NORM_INF) > 1);
  const cv::Mat lower = net.to_picture(net.conv("layer", net.rows_of(bytes, {3, 9}), {.padded = false}));
  CHECK(cv::norm(lower.row(0), apart(cv::Rect(1, 4, 9, 1)), cv::NORM_INF) < 1e-4);
}

TEST_CASE("what rounding the weights adds to usual inputs is taken back") {
  cv::RNG rng(16);
  const OneLayer layer({32, 64, 3, 3}, rng);
  cv::Mat usual(5, 5, CV_32FC(64));
  constexpr float kUsual = 64.0F / 127;  // comes through whole
  usual.reshape(1).setTo(kUsual);
  const auto error = [&](float taken_for_usual) {
    const Layers net(with_inputs(layer, 1, taken_for_usual));
    const Maps maps = net.from_picture(usual);
    const Convolution how{.padded = false, .relu = false};
    cv::Mat off = net.to_picture(net.conv("layer", net.bytes_for("layer", maps), how)) -
                  net.to_picture(net.conv("layer", maps, how));
    return cv::norm(off.reshape(1));
  };
  CHECK(error(kUsual) < 0.1 * error(0));
}
