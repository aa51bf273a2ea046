// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <opencv2/imgproc.hpp>

#include "tests/vision/one_layer.h"
#include "vision/models.h"
#include "vision/net/layers.h"
#include "vision/net/networks.h"

using namespace braird::vision;

namespace {

/// The layer's value at a place, by the definition.
float by_definition(const OneLayer& layer, const cv::Mat& picture, const Convolution& how, int out, int y,
                    int x) {
  const int in = layer.shape[1], rows = layer.shape[2], cols = layer.shape[3];
  const int group = out / (layer.shape[0] / (picture.channels() / in));
  const int margin = how.padded ? how.dilation * (rows / 2) : 0;
  double sum = layer.bias[static_cast<std::size_t>(out)];
  for (int c = 0; c < in; ++c)
    for (int j = 0; j < rows; ++j)
      for (int i = 0; i < cols; ++i) {
        const int v = y * how.stride.height + j * how.dilation - margin;
        const int u = x * how.stride.width + i * how.dilation - margin;
        if (v < 0 || u < 0 || v >= picture.rows || u >= picture.cols) continue;
        const int at = ((out * in + c) * rows + j) * cols + i;
        sum += static_cast<double>(layer.kernel[static_cast<std::size_t>(at)]) *
               picture.ptr<float>(v, u)[group * in + c];
      }
  return static_cast<float>(how.relu ? std::max(0.0, sum) : sum);
}

void check_by_definition(const OneLayer& layer, const cv::Mat& picture, const Convolution& how) {
  const Layers net(layer.weights());
  const cv::Mat seen = net.to_picture(net.conv("layer", net.from_picture(picture), how));
  REQUIRE(seen.channels() == layer.shape[0]);
  float farthest = 0;
  for (int y = 0; y < seen.rows; ++y)
    for (int x = 0; x < seen.cols; ++x)
      for (int out = 0; out < seen.channels(); ++out)
        farthest = std::max(
            farthest, std::abs(seen.ptr<float>(y, x)[out] - by_definition(layer, picture, how, out, y, x)));
  CHECK(farthest < 1e-4F);
}

/// A network's stage NAME.0, NAME.1 … of the whole picture at once: blocks, a plain layer, whole ones.
Maps whole_stage(const Layers& net, const std::string& name, Maps maps, int stride,
                 const std::vector<int>& dilations = {1, 1, 1, 1, 1}) {
  const auto part_at = [&](std::size_t at) { return name + "." + std::to_string(at); };
  std::size_t i = 0;
  for (std::string part; net.has((part = part_at(i)) + ".depth.0"); ++i, stride = 1) {
    const Maps seen =
        net.conv(part + ".depth.0", maps, {.stride = {stride, stride}, .dilation = dilations[i]});
    const auto shape = net.tensor(part + ".point.0.weight").shape;
    const bool alike = stride == 1 && shape[0] == shape[1];
    maps = net.conv(part + ".point.0", seen, {.plus = alike ? &maps : nullptr});
  }
  if (net.has(part_at(i) + ".0")) maps = net.conv(part_at(i++) + ".0", maps);
  for (; net.has(part_at(i) + ".across"); ++i)
    maps = net.conv(part_at(i) + ".across", net.conv(part_at(i) + ".wide.0", maps),
                    {.relu = false, .plus = &maps});
  return maps;
}

}  // namespace

TEST_CASE("a layer's sums are those of the definition") {
  cv::RNG rng(7);
  const cv::Mat three = drawn_picture(14, 17, 3, rng), eight = drawn_picture(13, 12, 8, rng);
  check_by_definition({{5, 3, 5, 5}, rng}, three, {.stride = {3, 3}});
  check_by_definition({{24, 3, 3, 3}, rng}, three, {.stride = {2, 2}, .relu = false});
  check_by_definition({{16, 8, 3, 3}, rng}, eight, {.packed = true});
  check_by_definition({{8, 1, 3, 3}, rng}, eight, {.dilation = 4});
  check_by_definition({{8, 1, 11, 11}, rng}, eight, {.padded = false});
  check_by_definition({{8, 1, 5, 5}, rng}, eight, {.stride = {3, 6}, .padded = false, .packed = true});
  check_by_definition({{10, 8, 1, 1}, rng}, eight, {.relu = false});
}

TEST_CASE("a layer of one channel is OpenCV's filter") {
  cv::RNG rng(8);
  const cv::Mat picture = drawn_picture(20, 31, 1, rng);
  const OneLayer layer({1, 1, 3, 3}, rng);
  const Layers net(layer.weights());
  const cv::Mat seen = net.to_picture(net.conv("layer", net.from_picture(picture), {.relu = false}));
  cv::Mat filtered;
  cv::filter2D(picture, filtered, CV_32F, cv::Mat(3, 3, CV_32F, const_cast<float*>(layer.kernel.data())),
               {-1, -1}, layer.bias[0], cv::BORDER_CONSTANT);
  CHECK(cv::norm(seen, filtered, cv::NORM_INF) < 1e-5);
}

TEST_CASE("what is added comes after negative sums became 0") {
  cv::RNG rng(9);
  const cv::Mat picture = drawn_picture(9, 11, 16, rng);
  const OneLayer layer({16, 16, 3, 3}, rng);
  const Layers net(layer.weights());
  const Maps maps = net.from_picture(picture);
  const cv::Mat alone = net.to_picture(net.conv("layer", maps));
  const cv::Mat both = net.to_picture(net.conv("layer", maps, {.plus = &maps}));
  CHECK(cv::norm(both, alone + picture, cv::NORM_INF) < 1e-4);
  const std::vector<float> more(16, 0.5F);
  const cv::Mat without = net.to_picture(net.conv("layer", maps, {.relu = false})),
                with = net.to_picture(net.conv("layer", maps, {.relu = false, .bias = more}));
  cv::Mat difference = with - without;
  CHECK(cv::norm(difference.reshape(1), cv::Mat(9, 11 * 16, CV_32F, cv::Scalar(0.5)), cv::NORM_INF) < 1e-5);
}

TEST_CASE("maps grow by repeating, and are joined channel after channel") {
  cv::RNG rng(10);
  const Layers net({});
  const cv::Mat one = drawn_picture(4, 5, 16, rng), other = drawn_picture(8, 10, 32, rng);
  const cv::Mat grown = net.to_picture(net.twice_as_large(net.from_picture(one)));
  REQUIRE(grown.size() == cv::Size(10, 8));
  CHECK(grown.ptr<float>(7, 9)[15] == one.ptr<float>(3, 4)[15]);
  CHECK(grown.ptr<float>(2, 5)[3] == one.ptr<float>(1, 2)[3]);
  const cv::Mat both = net.to_picture(net.joined(net.from_picture(grown), net.from_picture(other)));
  REQUIRE(both.channels() == 48);
  CHECK(both.ptr<float>(3, 4)[15] == grown.ptr<float>(3, 4)[15]);
  CHECK(both.ptr<float>(3, 4)[16] == other.ptr<float>(3, 4)[0]);
}

TEST_CASE("the lattice's networks say in bands what they say of the whole picture") {
  cv::RNG rng(11);
  cv::Mat picture(500, 200, CV_8UC3), input = cv::Mat::zeros(512, 224, CV_32FC3);
  rng.fill(picture, cv::RNG::UNIFORM, 0, 256);
  cv::GaussianBlur(picture, picture, {}, 2);
  picture.convertTo(input(cv::Rect({0, 0}, picture.size())), CV_32FC3, 1 / 255.0 / 0.25, -0.45 / 0.25);
  for (const Model model : {Model::lattice, Model::lattice_closer}) {
    const Layers net(model_weights(model));
    const Maps half = net.conv("stem.0", net.from_picture(input), {.stride = {2, 2}}),
               quarter = whole_stage(net, "d1", half, 2), eighth = whole_stage(net, "d2", quarter, 2),
               sixteenth = whole_stage(net, "d3", eighth, 2);
    Maps maps = whole_stage(net, "d4", sixteenth, 2, {1, 2, 4, 2, 1});
    maps = whole_stage(net, "u3", net.joined(net.twice_as_large(maps), sixteenth), 1);
    maps = whole_stage(net, "u2", net.joined(net.twice_as_large(maps), eighth), 1);
    maps = whole_stage(net, "u1", net.joined(net.twice_as_large(maps), quarter), 1);
    const cv::Mat whole = net.to_picture(net.conv("out", maps, {.relu = false}));
    CHECK(cv::norm(lattice_logits(picture, model), whole, cv::NORM_INF) < 1e-3);
  }
}

using Side = cv::Vec<float, 8>;

cv::Mat sides_all_over(cv::Size size, Side side) {
  return cv::repeat(cv::Mat(1, 1, CV_32FC(8), side.val), size.height, size.width);
}

/// What the next network of the committee says at this look alone.
cv::Mat said_at(int look, Model model, const cv::Mat& tray, const cv::Mat& sides) {
  cv::Mat said = (look + 1) * count_chances(model, tray, sides, look + 1).reshape(1);
  if (look > 0) said -= look * count_chances(model, tray, sides, look).reshape(1);
  return said;
}

struct CounterModel {
  Model model;
  int px, places;  // a cell each way
  int members;     // networks
};
const std::vector<CounterModel> kCounters = {{Model::counts, 72, 6, 2},
                                             {Model::seeds, 96, 6, 1},
                                             {Model::seeds_large_tray, 64, 4, 1},
                                             {Model::coming_up, 72, 6, 1}};

TEST_CASE("cells that look alike have the same chances wherever the bands end") {
  constexpr int kRows = 20, kCols = 6;
  cv::RNG rng(12);
  for (const auto& [model, px, each, members] : kCounters) {
    cv::Mat cell(px, px, CV_8UC3), tray;
    rng.fill(cell, cv::RNG::UNIFORM, 0, 256);
    cv::GaussianBlur(cell, cell, {}, 3);
    cv::repeat(cell, kRows + 1, kCols + 1, tray);
    const cv::Mat sides = sides_all_over({(kCols + 1) * each, (kRows + 1) * each}, {});
    std::vector<cv::Mat> looks;
    for (int look = 0; look < members; ++look) {
      looks.push_back(said_at(look, model, tray, sides));
      REQUIRE(looks.back().rows == kRows);
      for (int row = 4; row < kRows - 4; ++row)  // the tray's ends are out of sight
        CHECK(cv::norm(looks.back().row(row), looks.back().row(3), cv::NORM_INF) < 1e-4);
      if (look > 0) CHECK(cv::norm(looks.front(), looks.back(), cv::NORM_INF) > 1e-3);
    }
  }
}

TEST_CASE("a later look is at the flipped tray, in which vectors point the other way") {
  constexpr int kFlipCodes[] = {-1, 1, 0};  // of cv::flip: about both axes, an upright one, a level one
  constexpr int kRows = 5, kCols = 4;
  cv::RNG rng(13);
  for (const auto& [model, px, each, members] : kCounters) {
    cv::Mat tray((kRows + 1) * px, (kCols + 1) * px, CV_8UC3), turned;
    rng.fill(tray, cv::RNG::UNIFORM, 0, 256);
    cv::GaussianBlur(tray, tray, {}, 3);
    const cv::Size places((kCols + 1) * each, (kRows + 1) * each);
    // Of a Vec in braces, what isn't listed stays unset.
    const cv::Mat later = said_at(members, model, tray, sides_all_over(places, Side(0.3F, -0.5F, 0, 1)));
    const int code = kFlipCodes[members - 1];
    cv::flip(tray, turned, code);
    const Side there(code == 0 ? 0.3F : -0.3F, code == 1 ? -0.5F : 0.5F, 0, 1);
    cv::Mat first = count_chances(model, turned, sides_all_over(places, there), 1);
    cv::flip(first, first, code);
    CHECK(cv::norm(later, first.reshape(1), cv::NORM_INF) < 1e-4);
  }
}
