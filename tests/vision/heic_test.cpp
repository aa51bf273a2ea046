// SPDX-License-Identifier: Apache-2.0
// HEIC photos, where the program was built to read them.
#include <doctest/doctest.h>

#include <opencv2/imgproc.hpp>

#include "tests/vision/heic_files.h"
#include "tests/vision/photo_files.h"
#include "tests/vision/read_bytes.h"
#include "vision/codecs/codec.h"
#include "vision/take_census.h"

using namespace braird;
using namespace braird::test;
using namespace braird::vision;

namespace {

std::vector<int> counts_in(const Photo& photo) {
  const Reading reading = take_census(photo, {});
  REQUIRE(reading.census.trays.size() == 1);
  std::vector<int> counts;
  for (const Cell& cell : reading.census.trays[0].cells) counts.push_back(cell.count);
  return counts;
}

double difference(const cv::Mat& a, const cv::Mat& b) {
  return cv::norm(a, b, cv::NORM_L1) / (static_cast<double>(a.total()) * 3);
}

}  // namespace

TEST_CASE("a build with libheif's headers reads HEIC here") {
  CHECK(can_read_heic());
}

TEST_CASE("a HEIC photo is counted as the JPEG it was made from, of 8 and of 10 bits, of whatever colours") {
  const Photo jpeg = load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/plug-128-brassica.jpg");
  const std::vector<int> plain = counts_in(read(png_bytes(jpeg.bgr)));
  REQUIRE(plain.size() == 128);
  for (const HeicKind& kind : {HeicKind{}, HeicKind{10, 1, "a profile"}}) {
    CAPTURE(kind.bits);
    const std::vector<int> counts = counts_in(read(heic_bytes(jpeg.bgr, kind)));
    REQUIRE(counts.size() == plain.size());
    int same = 0;
    for (std::size_t i = 0; i < plain.size(); ++i) same += counts[i] == plain[i];
    CHECK(same >= 122);
  }
}

TEST_CASE("a HEIC photo is turned as the format tells, just as a JPEG is by EXIF") {
  const cv::Mat scene = quartered_scene(320, 240);
  for (int orientation = 1; orientation <= 8; ++orientation) {
    CAPTURE(orientation);
    const Photo turned = read(heic_bytes(scene, {8, orientation, ""})),
                expected = read(jpeg_bytes(scene, Exif{orientation, ""}));
    REQUIRE(turned.bgr.size() == expected.bgr.size());
    CHECK(turned.facts.width == expected.facts.width);
    CHECK(difference(turned.bgr, expected.bgr) < 6);
  }
}

TEST_CASE(
    "a HEIC photo that is cut off, or tells of a size that it hasn't, is refused before that is laid out") {
  const cv::Size even(320, 240), odd(321, 241), huge(32'000, 32'000);
  const std::string whole = heic_bytes(quartered_scene(320, 240)),
                    tiled = heic_bytes(quartered_scene(321, 241));
  CHECK(complaint_about(tiled) == "loaded");
  for (const std::string& cut : {whole.substr(0, whole.size() / 2), whole.substr(0, whole.size() - 10)})
    CHECK(complaint_about(cut, "photo.heic")
              .starts_with("photo.heic: this HEIC photo is damaged or incomplete (Invalid"));
  CHECK(complaint_about(with_heic_size(whole, even, {19'000, 19'000}), "photo.heic") ==
        "photo.heic: this photo of 19000 x 19000 pixels is larger than 100 megapixels; scale it down and try "
        "again");
  for (const std::string& beyond : {with_heic_size(whole, even, huge), with_tiled_size(tiled, odd, huge)})
    CHECK(complaint_about(beyond, "photo.heic") ==
          "photo.heic: this HEIC file is no photo: it has more than 20,000 pixels a side, or too many parts; "
          "scale it down and save it as JPEG");
  CHECK(complaint_about(with_heic_size(whole, even, {400, 300})).find("not of the size it tells") !=
        std::string::npos);
}
