// SPDX-License-Identifier: Apache-2.0
#include "vision/photo.h"

#include <doctest/doctest.h>

#include <array>
#include <ctime>
#include <random>

#include "tests/vision/photo_files.h"
#include "vision/codecs/codec.h"

using namespace braird;
using namespace braird::test;
using vision::load_photo;

namespace {

constexpr int kWidth = 320, kHeight = 240;

cv::Mat scene() {
  return quartered_scene(kWidth, kHeight);
}

/// Mean difference a pixel and channel, in grey levels of 255.
double difference(const cv::Mat& a, const cv::Mat& b) {
  REQUIRE(a.size() == b.size());
  REQUIRE(a.type() == CV_8UC3);
  return cv::norm(a, b, cv::NORM_L1) / static_cast<double>(a.total() * 3);
}

/// `upright` as a camera that notes this orientation would store it. CIPA DC-008 (Exif 2.3), tag 274: which
/// sides of the scene the stored row 0 and column 0 lie on.
cv::Mat stored_as(const cv::Mat& upright, int orientation) {
  struct Sides {
    bool rows_run_down_or_right, cols_run_right_or_down, swapped;
  };
  constexpr std::array<Sides, 8> kSides = {{{true, true, false},
                                            {true, false, false},
                                            {false, false, false},
                                            {false, true, false},
                                            {true, true, true},
                                            {false, true, true},
                                            {false, false, true},
                                            {true, false, true}}};
  const Sides sides = kSides[static_cast<std::size_t>(orientation - 1)];
  const int rows = sides.swapped ? upright.cols : upright.rows,
            cols = sides.swapped ? upright.rows : upright.cols;
  cv::Mat stored(rows, cols, CV_8UC3);
  for (int row = 0; row < rows; ++row)
    for (int col = 0; col < cols; ++col) {
      const int along_rows = sides.rows_run_down_or_right ? row : rows - 1 - row;
      const int along_cols = sides.cols_run_right_or_down ? col : cols - 1 - col;
      stored.at<cv::Vec3b>(row, col) = sides.swapped ? upright.at<cv::Vec3b>(along_cols, along_rows)
                                                     : upright.at<cv::Vec3b>(along_rows, along_cols);
    }
  return stored;
}

std::string complaint_about(const std::filesystem::path& path) {
  try {
    load_photo(path);
  } catch (const std::runtime_error& why) {
    return why.what();
  }
  return "loaded";
}

std::string random_bytes(std::size_t count) {
  std::mt19937 dice(7);
  std::string bytes;
  while (bytes.size() < count) bytes += static_cast<char>(dice());
  return bytes;
}

}  // namespace

TEST_CASE("each format gives the scene back, by content and not by name") {
  struct Format {
    std::string name;
    std::string bytes;
    double tolerance;
  };
  const Format formats[] = {{"jpeg", jpeg_bytes(scene()), 1.5},
                            {"progressive jpeg", progressive_jpeg_bytes(scene()), 1.5},
                            {"cmyk jpeg", cmyk_jpeg_bytes(scene()), 1.5},
                            {"png", png_bytes(scene()), 0},
                            {"png with alpha", png_bytes(scene(), PngKind::with_alpha), 0},
                            {"webp", webp_bytes(scene()), 3},
                            {"tiff", tiff_bytes(scene(), 8, {}), 0},
                            {"16-bit tiff", tiff_bytes(scene(), 16, {}), 1}};
  const ScratchFolder folder;
  for (const Format& format : formats) {
    CAPTURE(format.name);
    const vision::Photo photo = load_photo(folder.write("photo.txt", format.bytes));
    CHECK(photo.facts.width == kWidth);
    CHECK(photo.facts.height == kHeight);
    CHECK_FALSE(photo.facts.taken.has_value());
    CHECK(difference(photo.bgr, scene()) <= format.tolerance);
  }
}

TEST_CASE("a JPEG that keeps its colours in a rarer way is read, and refused where it is damaged") {
  const ScratchFolder folder;
  const cv::Mat upright = quartered_scene(640, 480);
  const std::string bytes = jpeg_turned_undecoded(upright);
  cv::Mat turned;
  cv::rotate(upright, turned, cv::ROTATE_90_CLOCKWISE);
  CHECK(difference(load_photo(folder.write("photo.jpg", bytes)).bgr, turned) <= 3);
  CHECK_THROWS_AS(load_photo(folder.write("photo.jpg", bytes.substr(0, bytes.size() / 2))),
                  std::runtime_error);
}

TEST_CASE("grey and 16-bit photos become 8-bit colour photos") {
  const ScratchFolder folder;
  for (const std::string& bytes : {grey_jpeg_bytes(scene()), png_bytes(scene(), PngKind::grey),
                                   png_bytes(scene(), PngKind::sixteen_bit)}) {
    const vision::Photo photo = load_photo(folder.write("photo", bytes));
    CHECK(photo.bgr.type() == CV_8UC3);
    CHECK(photo.bgr.at<cv::Vec3b>(kHeight - 5, 5) == cv::Vec3b(255, 255, 255));  // the white corner
  }
}

TEST_CASE("all eight orientations turn the scene upright, in every format that carries them") {
  const ScratchFolder folder;
  for (int orientation = 1; orientation <= 8; ++orientation) {
    const cv::Mat stored = stored_as(scene(), orientation);
    const Exif exif{orientation, "2026:03:19 09:12:44"};
    for (const std::string& bytes :
         {jpeg_bytes(stored, exif), with_exif(png_bytes(stored), exif), tiff_bytes(stored, 8, exif)}) {
      CAPTURE(orientation);
      const vision::Photo photo = load_photo(folder.write("photo", bytes));
      CHECK(photo.facts.taken == "2026-03-19T09:12:44");
      CHECK(photo.facts.width == kWidth);
      CHECK(difference(photo.bgr, scene()) <= 1.5);
    }
  }
}

TEST_CASE("a JPEG's orientation and time are read wherever they stand before its pixels") {
  const ScratchFolder folder;
  const std::string plain = jpeg_bytes(stored_as(scene(), 6), Exif{6, "2026:03:19 09:12:44"});
  const std::string comment = std::string("\xFF\xFE\0\x09", 4) + "a photo";
  std::string much = std::string("\xFF\xFE\xFF\xFF", 4) + std::string(0xFFFD, ' ');
  for (int doubling = 0; doubling < 5; ++doubling) much += much;  // 2 MiB
  for (const std::string& before : {comment, much}) {
    const vision::Photo photo = load_photo(folder.write("photo.jpg", std::string(plain).insert(2, before)));
    CHECK(photo.facts.taken == "2026-03-19T09:12:44");
    CHECK(difference(photo.bgr, scene()) <= 1.5);
  }
}

TEST_CASE("a nonsense orientation or capture time is left aside") {
  const ScratchFolder folder;
  for (const std::string time : {"0000:00:00 00:00:00", "2026:13:19 09:12:44", "2026:02:30 09:12:44",
                                 "    :  :     :  :  ", "yesterday, at noon.", "2026:03:19 25:00:00"}) {
    CAPTURE(time);
    const vision::Photo photo = load_photo(folder.write("photo.jpg", jpeg_bytes(scene(), Exif{9, time})));
    CHECK_FALSE(photo.facts.taken.has_value());
    CHECK(difference(photo.bgr, scene()) <= 1.5);
  }
}

TEST_CASE("what cannot be counted is refused in one sentence that names the file and the remedy, at once") {
  const ScratchFolder folder;
  const std::string jpeg = jpeg_bytes(scene()), png = png_bytes(scene()), webp = webp_bytes(scene());
  const std::string tiff = tiff_bytes(scene(), 8, {});
  std::string flipped = jpeg;
  for (std::size_t i = flipped.size() / 2; i < flipped.size() / 2 + 40; ++i)
    flipped[i] = static_cast<char>(~flipped[i]);
  struct Case {
    std::filesystem::path path;
    std::string says, remedy;
  };
  const Case cases[] = {
      {folder.path / "missing.jpg", "no such file", "check the name"},
      {folder.path, "is a folder", "name the photos in it"},
      {"/dev/null", "not a file that holds a photo", "name a photo"},
      {folder.write("text.jpg", "Sown on Friday.\n"), "not a JPEG, PNG, WebP, TIFF or HEIC", "name a photo"},
      {folder.write("random.jpg", random_bytes(100'000)), "not a JPEG, PNG, WebP, TIFF or HEIC",
       "name a photo"},
      {folder.write("zero.jpg", ""), "is empty", "copy the photo again"},
      {folder.write("half.jpg", jpeg.substr(0, jpeg.size() / 2)), "damaged or incomplete", "copy it"},
      {folder.write("most.jpg", jpeg.substr(0, jpeg.size() - 10)), "damaged or incomplete", "copy it"},
      {folder.write("flipped.jpg", flipped), "damaged or incomplete", "copy it"},
      {folder.write("head.jpg", jpeg.substr(0, 30)), "damaged or incomplete", "copy it"},
      {folder.write("half.png", png.substr(0, png.size() / 2)), "damaged or incomplete", "copy it"},
      {folder.write("half.webp", webp.substr(0, webp.size() / 2)), "damaged or incomplete", "copy it"},
      {folder.write("half.tif", tiff.substr(0, tiff.size() / 2)), "damaged or incomplete", "copy it"},
      {folder.write("dot.png", png_bytes(quartered_scene(1, 1))), "too small", "as the camera took it"},
      {folder.write("dot.jpg", jpeg_bytes(quartered_scene(1, 1))), "too small", "as the camera took it"},
      {folder.write("wide.png", png_bytes(quartered_scene(900, 199))), "too small", "as the camera took it"},
      {folder.write("huge.png", png_header(30'000, 30'000)), "larger than 100 megapixels", "scale it down"},
      {folder.write("long.png", png_header(40'000, 1'500)), "longer than 32766 pixels", "cut it"},
      {folder.write("none.png", png_header(640, 480)), "damaged or incomplete", "copy it"},
      {folder.write("phone.jpg", std::string("\0\0\0\x18"
                                             "ftypheic\0\0\0\0mif1heic",
                                             24)),
       "HEIC", vision::can_read_heic() ? "copy it from the phone again" : "save the photo as JPEG"},
  };
  for (const Case& bad : cases) {
    const std::clock_t start = std::clock();  // processor time
    const std::string complaint = complaint_about(bad.path);
    CAPTURE(complaint);
    CHECK(complaint.starts_with(bad.path.string() + ": "));
    CHECK(complaint.find(bad.says) != std::string::npos);
    CHECK(complaint.find(bad.remedy) != std::string::npos);
    CHECK(complaint.find('\n') == std::string::npos);
    CHECK(std::clock() - start < 2 * CLOCKS_PER_SEC);
  }
}

TEST_CASE("no truncation of any format loads as if it were whole, or crashes") {
  const ScratchFolder folder;
  for (const std::string& whole : {jpeg_bytes(scene()), png_bytes(scene()), webp_bytes(scene()),
                                   tiff_bytes(scene(), 8, {2, "2026:03:19 09:12:44"})})
    for (int part = 0; part < 25; ++part) {
      CAPTURE(part);
      CHECK(complaint_about(folder.write(
                "part", whole.substr(0, whole.size() * static_cast<std::size_t>(part) / 25))) != "loaded");
    }
}

TEST_CASE("a WebP photo with blank blocks is refused, though its decoder finds nothing wrong") {
  const ScratchFolder folder;
  const std::string whole = webp_bytes(scene());
  REQUIRE(complaint_about(folder.write("whole", whole)) == "loaded");
  for (const std::size_t part : {3, 5, 7, 9}) {
    CAPTURE(part);
    std::string holed = whole;
    holed.replace(holed.size() * part / 12, 1000, 1000, '\0');
    CHECK(complaint_about(folder.write("holed", holed)).find("damaged or incomplete") != std::string::npos);
  }
}
