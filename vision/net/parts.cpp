// SPDX-License-Identifier: Apache-2.0
#include "vision/net/parts.h"

#include <algorithm>
#include <numeric>

namespace braird::vision {

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

void keep(const cv::Mat& seen, const Band& band, int factor, cv::Mat& result) {
  const cv::Range kept = times(factor, band.kept);
  const int first = factor * band.seen.start;
  seen.rowRange(kept.start - first, kept.end - first).copyTo(result.rowRange(kept));
}

std::vector<float> over_places(const cv::Mat& picture, int kind) {
  cv::Mat result;
  cv::reduce(picture.reshape(1, picture.rows * picture.cols), result, 0, kind);
  return result;
}

std::vector<float> at_one_place(const Layers& net, const std::string& name,
                                const std::vector<float>& values) {
  const Tensor &weight = net.tensor(name + ".weight"), &bias = net.tensor(name + ".bias");
  std::vector<float> result(bias.values.begin(), bias.values.end());
  for (std::size_t o = 0; o < result.size(); ++o)
    result[o] =
        std::inner_product(values.begin(), values.end(), &weight.values[o * values.size()], result[o]);
  return result;
}

void softmax(cv::Mat& picture) {
  cv::Mat places = picture.reshape(1, picture.rows * picture.cols), most, sum;
  cv::reduce(places, most, 1, cv::REDUCE_MAX);
  cv::exp(places - cv::repeat(most, 1, places.cols), places);
  cv::reduce(places, sum, 1, cv::REDUCE_SUM);
  places /= cv::repeat(sum, 1, places.cols);
}

}  // namespace braird::vision
