// SPDX-License-Identifier: Apache-2.0
#include "vision/shrink.h"

#include <doctest/doctest.h>

#include <opencv2/imgproc.hpp>

using namespace braird;

TEST_CASE("a picture is shrunk to the means that OpenCV's own gives") {
  cv::RNG random(7);
  for (const int channels : {1, 3, 4})
    for (const auto& [size, scale] : {std::pair(cv::Size(301, 203), 0.64),
                                      {{640, 481}, 0.43},
                                      {{77, 33}, 0.84},
                                      {{401, 300}, 0.29},
                                      {{13, 7}, 0.1},
                                      {{101, 50}, 0.99}}) {
      CAPTURE(size.width);
      cv::Mat wide(size + cv::Size(9, 5), CV_8UC(channels)), expected;
      random.fill(wide, cv::RNG::UNIFORM, 0, 256);
      const cv::Mat picture = wide(cv::Rect({4, 2}, size));
      const cv::Mat seen = vision::shrunk(picture, scale);
      cv::resize(picture, expected, seen.size(), 0, 0, cv::INTER_AREA);
      cv::Mat off;
      cv::absdiff(seen, expected, off);
      off = off.reshape(1);
      CHECK(cv::norm(off, cv::NORM_INF) <= 1);
      CHECK(cv::countNonZero(off) <= 1 + 0.001 * static_cast<double>(off.total()));
    }
}

TEST_CASE("shrinking keeps plain colours") {
  for (const cv::Vec3b& colour : {cv::Vec3b(0, 0, 0), cv::Vec3b(255, 255, 255), cv::Vec3b(3, 128, 254)}) {
    const cv::Mat seen = vision::shrunk(cv::Mat(211, 307, CV_8UC3, colour), 0.7);
    CHECK(cv::norm(seen, cv::Mat(seen.size(), CV_8UC3, colour), cv::NORM_INF) == 0);
  }
}
