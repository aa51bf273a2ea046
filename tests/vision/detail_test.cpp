// SPDX-License-Identifier: Apache-2.0
// Large photos are read smaller for counting; what is said of them stays in their own pixels.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "tests/vision/drawn_labels.h"
#include "tests/vision/photo_files.h"
#include "vision/labels.h"
#include "vision/take_census.h"

using namespace braird;
using namespace braird::test;
using namespace braird::vision;

namespace {

cv::Mat sample(const std::string& name) {
  return load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/" + name + ".jpg").bgr;
}

/// A sample photo as a camera of 12 megapixels would give it.
cv::Mat enlarged(const std::string& name) {
  cv::Mat large;
  cv::resize(sample(name), large, {4000, 3000}, 0, 0, cv::INTER_CUBIC);
  return large;
}

Photo read(const std::string& bytes, Detail detail) {
  return photo_from({reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()}, "photo", detail);
}

double apart(Point a, Point b) {
  return std::hypot(a.x - b.x, a.y - b.y);
}

}  // namespace

TEST_CASE("photos are halved for counting while their longer side keeps 1,800 px, in any format") {
  struct Case {
    int width, height;
    double scale;
  };
  for (const Case& one :
       {Case{640, 480, 1}, {3599, 400, 1}, {3600, 400, 0.5}, {400, 4001, 0.5}, {7200, 300, 0.25}}) {
    CAPTURE(one.width);
    const cv::Mat scene = quartered_scene(one.width, one.height);
    for (const std::string& bytes :
         {jpeg_bytes(scene), png_bytes(scene), webp_bytes(scene), tiff_bytes(scene, 8, {})}) {
      const Photo photo = read(bytes, Detail::counting);
      CHECK(photo.scale == one.scale);
      CHECK(photo.facts.width == one.width);
      CHECK(photo.facts.height == one.height);
      CHECK(std::abs(photo.bgr.cols - one.width * one.scale) < 1);
      CHECK(std::abs(photo.bgr.rows - one.height * one.scale) < 1);
      cv::Mat small;
      cv::resize(scene, small, photo.bgr.size(), 0, 0, cv::INTER_AREA);
      CHECK(cv::norm(photo.bgr, small, cv::NORM_L1) / static_cast<double>(small.total() * 3) < 3);
      CHECK(read(bytes, Detail::full).scale == 1);
    }
  }
}

TEST_CASE("a turned photo's width and height are those of the upright one, also where it is read smaller") {
  const Photo photo = read(jpeg_bytes(quartered_scene(4000, 600), Exif{6, ""}), Detail::counting);
  CHECK(photo.facts.width == 600);
  CHECK(photo.facts.height == 4000);
  CHECK(photo.bgr.size() == cv::Size(300, 2000));
}

TEST_CASE("halved and full, a photo gives the same census, in the photo's own pixels") {
  for (const std::string name : {"plug-128-brassica", "paper-chain-264-beet"}) {
    CAPTURE(name);
    const std::string bytes = jpeg_bytes(enlarged(name), 90);
    const Photo half = read(bytes, Detail::counting);
    REQUIRE(half.scale == 0.5);
    const Reading small = take_census(half, {}), large = take_census(read(bytes, Detail::full), {});
    CHECK_FALSE(small.wants_detail);
    REQUIRE(small.census.trays.size() == 1);
    REQUIRE(large.census.trays.size() == 1);
    const Tray &one = small.census.trays[0], &other = large.census.trays[0];
    REQUIRE(one.cells.size() == other.cells.size());
    CHECK(one.fit == doctest::Approx(other.fit).epsilon(0.01));
    CHECK(one.pitch_px == doctest::Approx(other.pitch_px).epsilon(0.005));
    int differ = 0;
    for (std::size_t i = 0; i < one.cells.size(); ++i) {
      CHECK(apart(one.cells[i].centre_px, other.cells[i].centre_px) < 0.02 * one.pitch_px);
      differ += one.cells[i].count != other.cells[i].count;
    }
    CHECK(differ <= 0.02 * static_cast<double>(one.cells.size()));
  }
}

TEST_CASE("stated corners are in the photo's own pixels, whatever it is read at") {
  const std::string bytes = jpeg_bytes(enlarged("plug-128-brassica"), 90);
  Hints hints;
  hints.rows = 8, hints.cols = 16;
  hints.corners = {{{457, 812}, {3366, 538}, {3562, 1891}, {551, 2213}}};
  const Reading reading = take_census(read(bytes, Detail::counting), hints);
  REQUIRE(reading.census.trays.size() == 1);
  for (std::size_t i = 0; i < 4; ++i)
    CHECK(apart(reading.census.trays[0].corners_px[i], (*hints.corners)[i]) < 8);  // 0.05 pitches
}

TEST_CASE("cells that are too small where the photo was halved ask for the full photo") {
  cv::Mat canvas, tray;
  cv::resize(sample("bench-without-tray"), canvas, {4800, 3600}, 0, 0, cv::INTER_CUBIC);
  cv::resize(sample("plug-128-brassica"), tray, {1600, 1200}, 0, 0, cv::INTER_AREA);
  tray.copyTo(canvas({1600, 1200, 1600, 1200}));  // cells of 80 px, of 40 where halved
  const std::string bytes = jpeg_bytes(canvas, 90);
  const Reading halved = take_census(read(bytes, Detail::counting), {});
  CHECK(halved.wants_detail);
  CHECK(halved.census.trays.empty());
  CHECK(halved.refusal.empty());
  CHECK_FALSE(halved.times.empty());
  const Reading full = take_census(read(bytes, Detail::full), {});
  CHECK_FALSE(full.wants_detail);
  CHECK(full.census.trays.size() + !full.refusal.empty() == 1);
}

TEST_CASE(
    "a tray that the halved photo doesn't show well asks for the full photo; none, or one cut off, doesn't") {
  Photo photo;
  photo.scale = 0.5;
  cv::resize(sample("plug-128-brassica"), photo.bgr, {800, 600}, 0, 0, cv::INTER_AREA);
  cv::Mat smeared = photo.bgr({250, 260, 450, 300});
  cv::GaussianBlur(smeared, smeared, {}, 12);
  CHECK(take_census(photo, {}).wants_detail);
  photo.scale = 1;
  const Reading full = take_census(photo, {});
  CHECK_FALSE(full.wants_detail);
  CHECK_FALSE(full.refusal.empty());
  photo.scale = 0.5;
  photo.bgr = sample("bench-without-tray");
  CHECK_FALSE(take_census(photo, {}).wants_detail);
  const cv::Mat tray = sample("plug-128-brassica");
  photo.bgr = tray.colRange(tray.cols / 3, tray.cols).clone();
  CHECK_FALSE(take_census(photo, {}).wants_detail);
}

TEST_CASE("a tray with too small cells is left out with a remark, and the one beside it is counted") {
  cv::Mat canvas, large, small;
  cv::resize(sample("bench-without-tray"), canvas, {760, 560}, 0, 0, cv::INTER_AREA);
  cv::resize(sample("plug-128-brassica"), large, {400, 300}, 0, 0, cv::INTER_AREA);
  cv::resize(sample("plug-128-brassica"), small, {210, 157}, 0, 0, cv::INTER_AREA);  // cells of 10.5 px
  large.copyTo(canvas({10, 10, 400, 300}));
  small.copyTo(canvas({450, 330, 210, 157}));
  Photo photo;
  photo.bgr = canvas;
  const Reading reading = take_census(photo, {});
  CHECK(reading.census.trays.size() == 1);
  CHECK(reading.refusal.empty());
  CHECK(std::ranges::count(
            reading.census.remarks,
            "a tray was not counted: its cells are 10.5 px wide in the photo, and 12 are needed") == 1);
}

TEST_CASE("labels in a halved photo are read, and lie in the photo's own pixels") {
  std::mt19937 random(3);
  LabelPose pose;
  pose.centre = {1600, 1300};
  pose.module_px = 5;
  const cv::Mat scene = with_label(enlarged("bench-without-tray"),
                                   label_text({"K7", "Rowan 12", {}, {}, {}, {}}), pose, random);
  const auto labels = read_labels(read(jpeg_bytes(scene, 90), Detail::counting));
  REQUIRE(labels.size() == 1);
  CHECK(labels[0].label.tag == "K7");
  Point middle;
  for (const Point& corner : labels[0].corners_px)
    middle = {middle.x + corner.x / 4, middle.y + corner.y / 4};
  CHECK(apart(middle, {1600, 1300}) < 10);
}
