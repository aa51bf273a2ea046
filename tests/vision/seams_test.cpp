// SPDX-License-Identifier: Apache-2.0
#include "vision/seams.h"

#include <doctest/doctest.h>

using namespace braird::vision;

namespace {

/// A region from the photo's left edge on, darker from `top` to `bottom` along one upright line of it.
cv::Mat region_with_dark_line(int top, int bottom) {
  cv::Mat region(120, 160, CV_32F, cv::Scalar(0));
  region(cv::Rect(0, 20, 120, 80)).setTo(1);
  region(cv::Rect(57, top, 4, bottom - top)).setTo(0.3);
  return region;
}

std::size_t parts_of(const cv::Mat& region, const std::string& cut_side) {
  TrayQuad quad;
  quad.corners = {cv::Point2d(0, 20), {120, 20}, {120, 100}, {0, 100}};
  quad.cut_side = cut_side;
  return split_at_seams(region, quad).size();
}

}  // namespace

TEST_CASE("butted trays are split where the region is dark between them, cut by the frame or not") {
  CHECK(parts_of(region_with_dark_line(20, 100), "") == 2);
  CHECK(parts_of(region_with_dark_line(20, 100), "left") == 2);
}

TEST_CASE("a stain splits no part off a tray that the frame cuts") {
  CHECK(parts_of(region_with_dark_line(50, 100), "left") == 1);
  CHECK(parts_of(region_with_dark_line(50, 100), "") == 2);  // weaker seams of whole trays are found at times
}
