// SPDX-License-Identifier: Apache-2.0
#include "vision/shrink.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace braird::vision {

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
  if (result.size() == wanted) return result;
  cv::Mat rest;
  cv::resize(result, rest, wanted, 0, 0, cv::INTER_AREA);
  return rest;
}

}  // namespace braird::vision
