// SPDX-License-Identifier: Apache-2.0
#include "vision/cores.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>

using namespace braird::vision;

namespace {

/// Two trays of 8 × 5 cells, ten map pixels a cell, butted together: a region of both, and the core of each.
struct TwoTrays {
  cv::Mat region = cv::Mat::zeros(120, 140, CV_8U), core = cv::Mat::zeros(120, 140, CV_32F);

  TwoTrays() {
    region(cv::Rect(22, 22, 97, 77)).setTo(255);
    core(cv::Rect(30, 30, 30, 60)).setTo(1);
    core(cv::Rect(81, 30, 30, 60)).setTo(1);
  }

  std::vector<Outline> parts() const {
    std::vector<Outline> outlines;
    cv::findContours(region, outlines, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
    REQUIRE(outlines.size() == 1);
    return told_apart(outlines[0], core);
  }
};

}  // namespace

TEST_CASE("butted trays are told apart by their cores, each within a quarter of a cell of its hull") {
  auto parts = TwoTrays().parts();
  REQUIRE(parts.size() == 2);
  std::ranges::sort(parts, {}, [](const Outline& part) { return cv::boundingRect(part).x; });
  const cv::Rect left = cv::boundingRect(parts[0]), right = cv::boundingRect(parts[1]);
  // The trays end at 70.5: their regions 2.5 px before and behind.
  CHECK(left.x == 22);
  CHECK(std::abs(left.br().x - 68) <= 1);
  CHECK(std::abs(right.x - 73) <= 1);
  CHECK(right.br().x == 119);
}

TEST_CASE("a region with one core, or a speck beside it, is one tray") {
  TwoTrays one;
  one.core(cv::Rect(60, 30, 21, 60)).setTo(1);
  CHECK(one.parts().size() == 1);
  TwoTrays speck;
  speck.core(cv::Rect(81, 30, 30, 60)).setTo(0);
  speck.core(cv::Rect(100, 50, 3, 3)).setTo(1);
  CHECK(speck.parts().size() == 1);
  TwoTrays none;
  none.core.setTo(0);
  CHECK(none.parts().size() == 1);
}
