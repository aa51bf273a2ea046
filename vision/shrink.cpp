// SPDX-License-Identifier: Apache-2.0
#include "vision/shrink.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/core/hal/intrin.hpp>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace braird::vision {
namespace {

/// The pixels from `first` on that one of a smaller picture covers, and their shares in it.
struct Covered {
  int first;
  std::vector<float> shares;
};

std::vector<Covered> covered(int pixels, int fewer) {
  const double width = 1.0 * pixels / fewer;
  std::vector<Covered> all;
  for (int i = 0; i < fewer; ++i) {
    const double from = i * width, to = std::min<double>(pixels, from + width);
    Covered one{cvFloor(from), {}};
    for (int at = one.first; at < to - 1e-6; ++at)
      one.shares.push_back(static_cast<float>((std::min(at + 1.0, to) - std::max<double>(at, from)) / width));
    all.push_back(std::move(one));
  }
  return all;
}

/// Means over odd shares, of 8 bits a channel. cv::resize's own sums begin with the columns, one value at a
/// time, and take more than three times as long.
cv::Mat averaged(const cv::Mat& picture, cv::Size size) {
  constexpr int kAtOnce = cv::v_float32x4::nlanes;  // channels added up, of which fewer may be wanted
  const int channels = picture.channels(), values = picture.cols * channels;
  const std::vector<Covered> rows = covered(picture.rows, size.height),
                             cols = covered(picture.cols, size.width);
  cv::Mat result(size, picture.type());
  std::vector<float> sums(static_cast<std::size_t>(values + kAtOnce - channels));
  for (int y = 0; y < size.height; ++y) {
    std::ranges::fill(sums, 0.5F);  // so that what is cut off rounds
    const Covered& row = rows[static_cast<std::size_t>(y)];
    for (std::size_t i = 0; i < row.shares.size(); ++i) {
      const uchar* from = picture.ptr(row.first + static_cast<int>(i));
      float* sum = sums.data();
      const float share = row.shares[i];
      for (int x = 0; x < values; ++x) sum[x] += share * static_cast<float>(from[x]);
    }
    uchar* to = result.ptr(y);
    for (const Covered& col : cols) {
      const float* from = &sums[static_cast<std::size_t>(col.first) * static_cast<std::size_t>(channels)];
      cv::v_float32x4 sum = cv::v_setzero_f32();
      for (const float share : col.shares) {
        sum = cv::v_muladd(cv::v_load(from), cv::v_setall_f32(share), sum);
        from += channels;
      }
      std::array<int, kAtOnce> whole;
      cv::v_store(whole.data(), cv::v_trunc(sum));
      for (int c = 0; c < channels; ++c) *to++ = static_cast<uchar>(whole[static_cast<std::size_t>(c)]);
    }
  }
  return result;
}

}  // namespace

cv::Mat shrunk(const cv::Mat& picture, double scale) {
  const cv::Size wanted(std::max(1, cvRound(picture.cols * scale)),
                        std::max(1, cvRound(picture.rows * scale)));
  cv::Mat result = picture;
  while (result.cols % 2 == 0 && result.rows % 2 == 0 && result.cols >= 2 * wanted.width &&
         result.rows >= 2 * wanted.height) {
    cv::Mat half;
    cv::resize(result, half, result.size() / 2, 0, 0, cv::INTER_AREA);
    result = half;
  }
  return result.size() == wanted ? result : averaged(result, wanted);
}

}  // namespace braird::vision
