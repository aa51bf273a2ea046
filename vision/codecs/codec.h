// SPDX-License-Identifier: Apache-2.0
// From the bytes of a file to pixels. Each codec tells the size first, so that nothing huge is decoded.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <span>
#include <stdexcept>
#include <string>

namespace braird::vision {

using Bytes = std::span<const unsigned char>;

/// What a file says of its photo before a pixel is decoded.
struct PhotoHeader {
  int width = 0;  ///< pixels, as stored
  int height = 0;
  int orientation = 1;               ///< EXIF orientation, 1..8
  std::optional<std::string> taken;  ///< "YYYY-MM-DDTHH:MM:SS"
};

/// The bytes cannot be decoded; what() is a short clause in the codec's words.
struct DamagedPhoto : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// The bytes are sound, but no photo; what() is a clause with its remedy.
struct NoPhoto : std::runtime_error {
  using std::runtime_error::runtime_error;
};

struct Codec {
  const char* name;
  bool (*recognises)(Bytes);
  PhotoHeader (*read_header)(Bytes);  ///< throws DamagedPhoto
  /// 8-bit BGR, as stored, throws DamagedPhoto. A codec that decodes faster at 1 / `divisor` (1, 2, 4, 8) of
  /// the size does so; others leave that to the caller.
  cv::Mat (*decode)(Bytes, const PhotoHeader& header, int divisor);
};

/// Which codec reads these bytes? Decided by content, never by name; null if none.
const Codec* codec_for(Bytes bytes);

/// Do the bytes hold `magic` at `offset`?
bool holds(Bytes bytes, std::size_t offset, std::string_view magic);

extern const Codec kJpeg, kPng, kWebp, kTiff, kHeic;

/// HEIC needs a library that not every machine has: is it here, and was this program built to use it?
bool can_read_heic();
extern const char* const kHeicRemedy;  ///< what to do for HEIC to be read where it can't be

/// `bgr` as a JPEG file. `quality` 1..100.
std::string encode_jpeg(const cv::Mat& bgr, int quality);

/// `bgr` as a PNG file.
std::string encode_png(const cv::Mat& bgr);

}  // namespace braird::vision
