// SPDX-License-Identifier: Apache-2.0
#include "tests/vision/photo_files.h"

#include <png.h>
#include <stdlib.h>
#include <turbojpeg.h>
#include <webp/encode.h>
#include <zlib.h>

#include <fstream>
#include <opencv2/imgproc.hpp>
#include <stdexcept>
#include <vector>

namespace braird::test {
namespace {

namespace fs = std::filesystem;

std::string big_endian(std::size_t value, int bytes) {
  std::string text;
  for (int shift = 8 * (bytes - 1); shift >= 0; shift -= 8) text += static_cast<char>(value >> shift & 0xFF);
  return text;
}

/// One directory entry of a TIFF header: tag, type (2: text, 3: short, 4: long), count, value or its offset.
std::string entry(int tag, int type, std::size_t count, const std::string& value) {
  return big_endian(static_cast<std::size_t>(tag), 2) + big_endian(static_cast<std::size_t>(type), 2) +
         big_endian(count, 4) + value;
}

void require(bool holds) {
  if (!holds) throw std::logic_error("a test photo could not be made");
}

std::string compress(const cv::Mat& pixels, int format, int subsampling, int quality, int flags) {
  tjhandle engine = tjInitCompress();
  unsigned char* buffer = nullptr;
  unsigned long size = 0;
  require(tjCompress2(engine, pixels.data, pixels.cols, static_cast<int>(pixels.step), pixels.rows, format,
                      &buffer, &size, subsampling, quality, flags) == 0);
  std::string bytes(reinterpret_cast<char*>(buffer), size);
  tjFree(buffer);
  tjDestroy(engine);
  return bytes;
}

std::string chunk(const std::string& name, const std::string& data) {
  const std::string body = name + data;
  const uLong sum = crc32(0, reinterpret_cast<const Bytef*>(body.data()), static_cast<uInt>(body.size()));
  return big_endian(data.size(), 4) + body + big_endian(sum, 4);
}

constexpr std::string_view kPngMagic = "\x89PNG\r\n\x1A\n";

}  // namespace

ScratchFolder::ScratchFolder() {
  std::string name = (fs::temp_directory_path() / "braird-test-XXXXXX").string();
  require(mkdtemp(name.data()) != nullptr);
  path = name;
}

ScratchFolder::~ScratchFolder() {
  std::error_code ignored;
  fs::remove_all(path, ignored);
}

fs::path ScratchFolder::write(const std::string& name, const std::string& bytes) const {
  std::ofstream(path / name, std::ios::binary) << bytes;
  return path / name;
}

cv::Mat quartered_scene(int width, int height) {
  cv::Mat scene(height, width, CV_8UC3);
  for (int x = 0; x < width; ++x) scene.col(x) = cv::Scalar::all(60 + 120.0 * x / width);
  const int w = width / 4, h = height / 4;
  scene(cv::Rect(0, 0, w, h)) = cv::Scalar(0, 0, 255);
  scene(cv::Rect(width - w, 0, w, h)) = cv::Scalar(0, 255, 0);
  scene(cv::Rect(width - w, height - h, w, h)) = cv::Scalar(255, 0, 0);
  scene(cv::Rect(0, height - h, w, h)) = cv::Scalar(255, 255, 255);
  return scene;
}

std::string exif_block(const Exif& exif) {
  const std::string orientation =
      entry(0x0112, 3, 1, big_endian(static_cast<std::size_t>(exif.orientation), 2) + big_endian(0, 2));
  const std::string end = big_endian(0, 4);
  const std::string header = "MM" + big_endian(42, 2) + big_endian(8, 4);
  if (exif.taken.empty()) return header + big_endian(1, 2) + orientation + end;
  const std::size_t exif_at = 8 + 2 + 2 * 12 + 4, text_at = exif_at + 2 + 12 + 4;
  return header + big_endian(2, 2) + orientation + entry(0x8769, 4, 1, big_endian(exif_at, 4)) + end +
         big_endian(1, 2) + entry(0x9003, 2, exif.taken.size() + 1, big_endian(text_at, 4)) + end +
         exif.taken + '\0';
}

std::string jpeg_bytes(const cv::Mat& bgr, int quality) {
  return compress(bgr, TJPF_BGR, TJSAMP_444, quality, 0);
}

std::string jpeg_bytes(const cv::Mat& bgr, const Exif& exif) {
  const std::string plain = jpeg_bytes(bgr), block = std::string("Exif\0\0", 6) + exif_block(exif);
  return plain.substr(0, 2) + "\xFF\xE1" + big_endian(block.size() + 2, 2) + block + plain.substr(2);
}

std::string grey_jpeg_bytes(const cv::Mat& bgr) {
  return compress(bgr, TJPF_BGR, TJSAMP_GRAY, 95, 0);
}

std::string jpeg_turned_undecoded(const cv::Mat& bgr) {
  const std::string upright = compress(bgr, TJPF_BGR, TJSAMP_411, 95, 0);
  const std::unique_ptr<void, decltype(&tjDestroy)> engine(tjInitTransform(), tjDestroy);
  tjtransform turn{};
  turn.op = TJXOP_ROT90;
  unsigned char* buffer = nullptr;
  unsigned long size = 0;
  require(tjTransform(engine.get(), reinterpret_cast<const unsigned char*>(upright.data()), upright.size(), 1,
                      &buffer, &size, &turn, 0) == 0);
  const std::unique_ptr<unsigned char, decltype(&tjFree)> owner(buffer, tjFree);
  return {reinterpret_cast<const char*>(buffer), size};
}

std::string progressive_jpeg_bytes(const cv::Mat& bgr) {
  return compress(bgr, TJPF_BGR, TJSAMP_420, 95, TJFLAG_PROGRESSIVE);
}

std::string cmyk_jpeg_bytes(const cv::Mat& bgr) {
  cv::Mat inks(bgr.size(), CV_8UC4);
  const int from_to[] = {2, 0, 1, 1, 0, 2};  // inverted cyan is red, and so on; inverted black is full
  inks = cv::Scalar::all(255);
  cv::mixChannels(&bgr, 1, &inks, 1, from_to, 3);
  return compress(inks, TJPF_CMYK, TJSAMP_444, 95, 0);
}

std::string png_bytes(const cv::Mat& bgr, PngKind kind) {
  cv::Mat pixels = bgr;
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(bgr.cols);
  image.height = static_cast<png_uint_32>(bgr.rows);
  image.format = PNG_FORMAT_BGR;
  if (kind == PngKind::grey) {
    cv::cvtColor(bgr, pixels, cv::COLOR_BGR2GRAY);
    image.format = PNG_FORMAT_GRAY;
  } else if (kind == PngKind::with_alpha) {
    cv::cvtColor(bgr, pixels, cv::COLOR_BGR2BGRA);
    image.format = PNG_FORMAT_BGRA;
  } else if (kind == PngKind::sixteen_bit) {
    bgr.convertTo(pixels, CV_16UC3, 257);  // libpng takes 16-bit values as linear light
    image.format = PNG_FORMAT_LINEAR_RGB;
  }
  image.flags = PNG_IMAGE_FLAG_FAST;
  const auto stride = static_cast<png_int_32>(pixels.step1());
  png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(image);
  std::string bytes(size, '\0');
  require(png_image_write_to_memory(&image, bytes.data(), &size, 0, pixels.data, stride, nullptr) != 0);
  bytes.resize(size);
  return bytes;
}

std::string with_exif(const std::string& png, const Exif& exif) {
  const std::size_t after_header = kPngMagic.size() + 12 + 13;
  return png.substr(0, after_header) + chunk("eXIf", exif_block(exif)) + png.substr(after_header);
}

std::string without_chunk(std::string png, std::string_view name) {
  const std::size_t at = png.find(name) - 4, length = static_cast<unsigned char>(png.at(at + 3));
  return png.erase(at, length + 12);
}

std::string png_header(int width, int height) {
  const std::string size =
      big_endian(static_cast<std::size_t>(width), 4) + big_endian(static_cast<std::size_t>(height), 4);
  return std::string(kPngMagic) + chunk("IHDR", size + std::string("\x08\x02\x00\x00\x00", 5));
}

std::string webp_bytes(const cv::Mat& bgr) {
  uint8_t* buffer = nullptr;
  const std::size_t size =
      WebPEncodeBGR(bgr.data, bgr.cols, bgr.rows, static_cast<int>(bgr.step), 95, &buffer);
  require(size > 0);
  std::string bytes(reinterpret_cast<char*>(buffer), size);
  WebPFree(buffer);
  return bytes;
}

std::string animated_webp_bytes(const cv::Mat& bgr) {
  const auto little_endian = [](std::size_t value, int bytes) {
    std::string result;
    for (int i = 0; i < bytes; ++i) result += static_cast<char>(value >> (8 * i) & 0xff);
    return result;
  };
  const std::string size = little_endian(static_cast<std::size_t>(bgr.cols - 1), 3) +
                           little_endian(static_cast<std::size_t>(bgr.rows - 1), 3);
  const std::string picture = webp_bytes(bgr).substr(12);  // after RIFF, length, WEBP
  const std::string frame = std::string(6, '\0') + size + little_endian(100, 3) + '\0' + picture;
  const std::string body = "WEBPVP8X" + little_endian(10, 4) + little_endian(2, 4) + size + "ANIM" +
                           little_endian(6, 4) + std::string(6, '\0') + "ANMF" +
                           little_endian(frame.size(), 4) + frame;
  return "RIFF" + little_endian(body.size(), 4) + body;
}

}  // namespace braird::test
