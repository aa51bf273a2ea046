// SPDX-License-Identifier: Apache-2.0
// Photos as other programs and cameras write them: each is counted, or refused in words.
#include <doctest/doctest.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "tests/times.h"
#include "tests/vision/photo_files.h"
#include "tests/vision/read_bytes.h"
#include "vision/codecs/codec.h"
#include "vision/take_census.h"

using namespace braird;
using namespace braird::test;
using namespace braird::vision;

namespace {

cv::Mat tray() {
  return load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/plug-128-brassica.jpg").bgr;
}

}  // namespace

TEST_CASE("a tray is counted alike whatever format, depth and colours it is stored in") {
  struct Case {
    const char* name;
    std::string bytes;
    double same;  ///< least share of cells with the count that the photo itself gives
  };
  const cv::Mat photo = tray();
  // (The first 16-bit PNG says that it is of linear light, so other values than the photo's.)
  const Case cases[] = {{"progressive JPEG", progressive_jpeg_bytes(photo), 0.97},
                        {"CMYK JPEG", cmyk_jpeg_bytes(photo), 0.97},
                        {"16-bit PNG", png_bytes(photo, PngKind::sixteen_bit), 0.6},
                        {"16-bit PNG that doesn't tell its gamma",
                         without_chunk(png_bytes(photo, PngKind::sixteen_bit), "gAMA"), 0.97},
                        {"PNG with alpha", png_bytes(photo, PngKind::with_alpha), 1},
                        {"WebP", webp_bytes(photo), 0.95},
                        {"16-bit TIFF", tiff_bytes(photo, 16, {}), 0.97},
                        {"TIFF of two pages", two_page_tiff_bytes(photo, quartered_scene(400, 300)), 1}};
  const Tray plain = take_census(read(png_bytes(photo)), {}).census.trays.at(0);
  for (const Case& one : cases) {
    CAPTURE(one.name);
    const Photo stored = read(one.bytes);
    if (&one - cases >= times(8, 1)) continue;  // read all the same
    const Reading reading = take_census(stored, {});
    REQUIRE(reading.census.trays.size() == 1);
    const Tray& seen = reading.census.trays[0];
    REQUIRE(seen.cells.size() == plain.cells.size());
    int same = 0;
    for (std::size_t i = 0; i < plain.cells.size(); ++i) same += seen.cells[i].count == plain.cells[i].count;
    CHECK(same >= one.same * static_cast<double>(plain.cells.size()));
  }
}

TEST_CASE("a photo in shades of grey is refused, since all its cells would look empty") {
  for (const std::string& bytes : {grey_jpeg_bytes(tray()), png_bytes(tray(), PngKind::grey)}) {
    const Reading reading = take_census(read(bytes), {});
    CHECK(reading.census.trays.empty());
    CHECK(reading.refusal.starts_with("the photo has no colours"));
  }
}

TEST_CASE("a photo of one tone is refused as one of none, be it tinted or by a red lamp") {
  const cv::Mat photo = tray();
  cv::Mat grey, channels[3];
  cv::cvtColor(photo, grey, cv::COLOR_BGR2GRAY);
  cv::split(photo, channels);
  const auto toned = [](const cv::Mat& tone, cv::Vec3d share) {
    cv::Mat parts[3], result;
    for (int c = 0; c < 3; ++c) tone.convertTo(parts[c], CV_8U, share[c]);
    cv::merge(parts, 3, result);
    return take_census(read(png_bytes(result)), {}).refusal;
  };
  CHECK(toned(grey, {0.98, 1, 1.02}).starts_with("the photo has no colours"));     // a cast
  CHECK(toned(grey, {0.65, 0.82, 0.98}).starts_with("the photo has no colours"));  // sepia
  CHECK(toned(channels[2], {0.02, 0.03, 1}).starts_with("the photo has no colours"));
}

TEST_CASE("more seeds a cell than the networks learned lose no plants, and are remarked on") {
  const cv::Mat photo = tray();
  const auto told = [&](int seeds) {
    Hints hints;
    hints.habit = SeedlingHabit::round_pair;
    hints.seeds_per_cell = seeds;
    return take_census(read(png_bytes(photo)), hints).census;
  };
  const Census few = told(4), many = told(50);
  REQUIRE(many.trays.size() == 1);
  CHECK(summarise(many.trays[0]).seedlings == summarise(few.trays.at(0)).seedlings);
  const auto says = [](const Census& census, const char* words) {
    return std::ranges::any_of(census.remarks, [&](const std::string& r) { return r.find(words) != r.npos; });
  };
  CHECK(says(many, "50 seeds a cell are more than braird learned to count"));
  CHECK_FALSE(says(few, "learned to count"));
}

TEST_CASE("what is asked for is named where there are no colours to tell it by") {
  Hints hints;
  hints.counted = Counted::seeds;
  CHECK(take_census(read(grey_jpeg_bytes(tray())), hints).refusal.find("seeds are told") !=
        std::string::npos);
}

TEST_CASE("a tray has its colours, however much grey lies around it") {
  const cv::Mat photo = tray();
  cv::Mat floor(3 * photo.rows, 3 * photo.cols, CV_8UC3, cv::Scalar::all(128));
  photo.copyTo(floor({photo.cols, photo.rows, photo.cols, photo.rows}));
  CHECK(take_census(Photo{{}, floor}, {}).census.trays.size() == 1);
}

TEST_CASE("two plain halves and a smooth slope are refused in words") {
  cv::Mat halves(600, 800, CV_8UC3, cv::Scalar(40, 60, 80)), slope(600, 800, CV_8UC3);
  halves.rowRange(300, 600) = cv::Scalar(90, 120, 60);
  for (int row = 0; row < slope.rows; ++row) slope.row(row) = cv::Scalar::all(row / 3.0);
  for (const cv::Mat& plain : {halves, slope, cv::Mat(slope.t())}) {
    const Reading reading = take_census(read(png_bytes(plain)), {});
    CHECK(reading.census.trays.empty());
    const bool in_words =
        reading.refusal.starts_with("the photo is too blurred") || reading.refusal.starts_with("no tray");
    CHECK(in_words);
  }
}

TEST_CASE("a tray is counted alike in all eight orientations") {
  cv::Mat photo;
  cv::resize(tray(), photo, {}, 0.5, 0.5, cv::INTER_AREA);
  for (int orientation = 1; orientation <= 8; ++orientation) {
    CAPTURE(orientation);
    const Photo turned = read(jpeg_bytes(photo, Exif{orientation, ""}));
    CHECK((turned.bgr.rows > turned.bgr.cols) == (orientation >= 5));
    const Reading reading = take_census(turned, {});
    REQUIRE(reading.census.trays.size() == 1);
    CHECK(reading.census.trays[0].cells.size() == 128);
  }
}

TEST_CASE("of several pages the first is the photo") {
  const Photo photo = read(two_page_tiff_bytes(quartered_scene(320, 240), quartered_scene(640, 480)));
  CHECK(photo.bgr.size() == cv::Size(320, 240));
}

TEST_CASE("a raw file's preview is no photo, nor are its raw pixels damaged ones") {
  CHECK(complaint_about(preview_tiff_bytes(quartered_scene(400, 300))) ==
        "photo: this TIFF file is no photo: it is a camera's raw file or begins with a preview; save the "
        "photo as JPEG");
  std::string raw = tiff_bytes(quartered_scene(400, 300), 8, {});
  const std::string photometric("\x06\x01\x03\0\x01\0\0\0\x02\0", 10);
  REQUIRE(raw.find(photometric) != std::string::npos);
  raw.replace(raw.find(photometric) + 8, 2, "\x23\x80");  // a colour filter array
  CHECK(complaint_about(raw).find("of a kind that can't be read") != std::string::npos);
}

TEST_CASE("an animation is no photo") {
  CHECK(complaint_about(animated_webp_bytes(quartered_scene(320, 240))) ==
        "photo: this WebP file is no photo: it is an animation; save one picture of it as JPEG");
}

TEST_CASE("a HEIC photo is read where libheif is, and refused in one sentence elsewhere") {
  // scene.heic: quartered_scene(320, 240), stored turned left with a turn to the right to be made, HEVC of
  // quality 85, and an EXIF orientation of 6 that repeats that turn; made with libheif 1.15 and x265.
  const std::string file = std::string(BRAIRD_SOURCE_DIR) + "/tests/vision/scene.heic";
  if (!can_read_heic()) {
    CHECK_THROWS_WITH_AS(load_photo(file), doctest::Contains("a HEIC photo, which can't be read here; "),
                         std::runtime_error);
    return;
  }
  const Photo photo = load_photo(file);
  REQUIRE(photo.bgr.size() == cv::Size(320, 240));
  CHECK(photo.facts.width == 320);
  CHECK(photo.facts.taken == "2026-03-19T09:12:44");
  CHECK(cv::norm(photo.bgr, quartered_scene(320, 240), cv::NORM_L1) / (320. * 240 * 3) < 6);
}
