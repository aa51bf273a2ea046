// SPDX-License-Identifier: Apache-2.0
// Photos of trays with and without labels beside them, right and wrong ones.
#include "vision/labelled_trays.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "vision/take_census.h"

using namespace braird;
using namespace braird::vision;

namespace {

cv::Mat half_of(const std::string& name) {
  const cv::Mat whole = load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/" + name + ".jpg").bgr;
  cv::Mat half;
  cv::resize(whole, half, {}, 0.5, 0.5, cv::INTER_AREA);
  return half;
}

/// Side by side: 8 x 16 cells, and 22 x 12 in staggered rows.
Photo two_trays() {
  static const cv::Mat both = [] {
    cv::Mat pair;
    cv::hconcat(half_of("plug-128-brassica"), half_of("paper-chain-264-brassica"), pair);
    return pair;
  }();
  Photo photo;
  photo.bgr = both;
  photo.facts = {"bench.jpg", both.cols, both.rows, {}};
  return photo;
}

/// A label with upright print.
SeenLabel labelled(cv::Point2d middle, const std::string& tag, const Layout& layout) {
  SeenLabel seen;
  seen.label.tag = tag;
  seen.layout = layout;
  seen.corners_px = {Point{middle.x - 30, middle.y - 30}, Point{middle.x + 30, middle.y - 30},
                     Point{middle.x + 30, middle.y + 30}, Point{middle.x - 30, middle.y + 30}};
  return seen;
}

Reading counted_with(const std::vector<SeenLabel>& labels, Hints hints = {}) {
  hints.labels = labels;
  return take_census(two_trays(), hints);
}

const Layout kSquare{8, 16, LatticeKind::square}, kWrong{6, 12, LatticeKind::square};
const cv::Point2d kBySquare{100, 200}, kByStaggered{1384, 230};

}  // namespace

TEST_CASE("one tray's label doesn't speak for another tray without one") {
  const Census census = counted_with({labelled(kBySquare, "K7", kSquare)}).census;
  REQUIRE(census.trays.size() == 2);
  for (const Tray& tray : census.trays) {
    CHECK(tray.layout.rows == (tray.label ? 8 : 22));
    CHECK((tray.label ? tray.label->tag : "K7") == "K7");
  }
  CHECK(std::ranges::count_if(census.trays, [](const Tray& tray) { return tray.label.has_value(); }) == 1);
}

TEST_CASE("a tray that isn't as its label says isn't counted, unless its shape is told") {
  const std::string why =
      "the tray in the photo looks 8×16 square, not as stated by label K7; if that is wrong, tell the tray's "
      "shape with --tray";
  const SeenLabel wrong = labelled(kBySquare, "K7", kWrong);
  const Census census = counted_with({wrong}).census;
  REQUIRE(census.trays.size() == 1);
  CHECK(census.trays[0].layout.rows == 22);
  CHECK(std::ranges::count(census.remarks, "a tray was not counted: " + why) == 1);
  Hints told;
  told.rows = 8, told.cols = 16;
  const Census as_told = counted_with({wrong}, told).census;
  REQUIRE(as_told.trays.size() == 1);
  CHECK(as_told.trays[0].layout.rows == 8);
  CHECK(as_told.trays[0].label->tag == "K7");
}

TEST_CASE("trays that are left out for several reasons get all of them") {
  const Reading reading = counted_with(
      {labelled(kBySquare, "K7", kWrong), labelled(kByStaggered, "K8", {5, 9, LatticeKind::square})});
  CHECK(reading.census.trays.empty());
  CHECK(reading.refusal.find("by label K7") != std::string::npos);
  CHECK(reading.refusal.find("by label K8") != std::string::npos);
}

TEST_CASE("a label that belongs to no tray is told, and where trays without labels begin, too") {
  const SeenLabel stray = labelled({1800, 20}, "K9", kSquare);
  const Census none = counted_with({stray}).census,
               one = counted_with({stray, labelled(kBySquare, "K7", kSquare)}).census;
  const std::string told = "label K9 was read, but belongs to no tray that was counted",
                    start = "row 1, column 1 is the corner nearest to the photo's ";
  for (const Census& census : {none, one}) CHECK(std::ranges::count(census.remarks, told) == 1);
  const auto starts = [&](const Census& census) {
    const auto found =
        std::ranges::find_if(census.remarks, [&](const auto& r) { return r.starts_with(start); });
    return found == census.remarks.end() ? "" : found->substr(start.size());
  };
  CHECK(starts(none).find(", ") != std::string::npos);
  REQUIRE(one.trays.size() == 2);
  CHECK(starts(one).ends_with(one.trays[0].label ? " in tray 2" : " in tray 1"));
  CHECK(starts(one).find(", ") == std::string::npos);
}
