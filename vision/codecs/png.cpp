// SPDX-License-Identifier: Apache-2.0
#include <png.h>

#include <algorithm>

#include "vision/codecs/exif.h"

namespace braird::vision {
namespace {

/// libpng's simplified reader; frees what it holds whenever the scope is left.
struct Reader {
  png_image image{};
  explicit Reader(Bytes bytes) {
    image.version = PNG_IMAGE_VERSION;
    if (png_image_begin_read_from_memory(&image, bytes.data(), bytes.size()) == 0)
      throw DamagedPhoto(image.message);
  }
  Reader(const Reader&) = delete;
  Reader& operator=(const Reader&) = delete;
  ~Reader() { png_image_free(&image); }
};

bool is_png(Bytes bytes) {
  return holds(bytes, 0, "\x89PNG\r\n\x1A\n");
}

std::size_t big_endian(Bytes four) {
  return std::size_t{four[0]} << 24 | std::size_t{four[1]} << 16 | std::size_t{four[2]} << 8 | four[3];
}

/// A chunk is: length (4 bytes), name (4), data, checksum (4).
Bytes find_chunk(Bytes bytes, std::string_view name) {
  for (std::size_t at = 8; at + 12 <= bytes.size();) {
    const std::size_t length = big_endian(bytes.subspan(at, 4));
    if (length > bytes.size() - at - 12) return {};
    if (holds(bytes, at + 4, name)) return bytes.subspan(at + 8, length);
    at += length + 12;
  }
  return {};
}

/// The first chunk, IHDR, starts with width and height; libpng would want the pixels to begin before it tells
/// them.
PhotoHeader read_header(Bytes bytes) {
  const Bytes size = find_chunk(bytes.first(std::min<std::size_t>(bytes.size(), 33)), "IHDR");
  if (size.size() != 13) throw DamagedPhoto("its header is cut off");
  const std::size_t width = big_endian(size.first(4)), height = big_endian(size.subspan(4, 4));
  if (width > INT32_MAX || height > INT32_MAX) throw DamagedPhoto("its size is out of range");
  PhotoHeader header{static_cast<int>(width), static_cast<int>(height), 1, {}};
  if (const Bytes exif = find_chunk(bytes, "eXIf"); !exif.empty()) read_bare_exif(exif, header);
  return header;
}

/// 16-bit, grey and palette photos become 8-bit BGR; what is transparent becomes black.
cv::Mat decode(Bytes bytes, const PhotoHeader& header, int) {
  Reader reader(bytes);
  reader.image.format = PNG_FORMAT_BGR;
  reader.image.flags |= PNG_IMAGE_FLAG_16BIT_sRGB;  // 16 bit without a gamma of their own are no less sRGB
  cv::Mat bgr(header.height, header.width, CV_8UC3);
  const png_color black{};
  if (png_image_finish_read(&reader.image, &black, bgr.data, static_cast<png_int_32>(bgr.step), nullptr) == 0)
    throw DamagedPhoto(reader.image.message);
  return bgr;
}

}  // namespace

const Codec kPng{"PNG", is_png, read_header, decode};

std::string encode_png(const cv::Mat& bgr) {
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(bgr.cols);
  image.height = static_cast<png_uint_32>(bgr.rows);
  image.format = PNG_FORMAT_BGR;
  const auto stride = static_cast<png_int_32>(bgr.step);
  png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(image);
  std::string bytes(size, '\0');
  if (!png_image_write_to_memory(&image, bytes.data(), &size, 0, bgr.data, stride, nullptr))
    throw std::runtime_error(std::string("no PNG could be made: ") + image.message);
  bytes.resize(size);
  return bytes;
}

}  // namespace braird::vision
