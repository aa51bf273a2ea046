// SPDX-License-Identifier: Apache-2.0
#include <webp/decode.h>

#include <algorithm>
#include <memory>

#include "vision/codecs/exif.h"

namespace braird::vision {
namespace {

bool is_webp(Bytes bytes) {
  return holds(bytes, 0, "RIFF") && holds(bytes, 8, "WEBP");
}

std::size_t little_endian(Bytes four) {
  return four[0] | std::size_t{four[1]} << 8 | std::size_t{four[2]} << 16 | std::size_t{four[3]} << 24;
}

/// A chunk is: name (4 bytes), length (4), data, one byte of padding if the length is odd.
Bytes find_chunk(Bytes bytes, std::string_view name) {
  for (std::size_t at = 12; at + 8 <= bytes.size();) {
    const std::size_t length = little_endian(bytes.subspan(at + 4, 4));
    if (length > bytes.size() - at - 8) return {};
    if (holds(bytes, at, name)) return bytes.subspan(at + 8, length);
    at += 8 + length + length % 2;
  }
  return {};
}

PhotoHeader read_header(Bytes bytes) {
  WebPBitstreamFeatures features{};
  if (WebPGetFeatures(bytes.data(), bytes.size(), &features) != VP8_STATUS_OK)
    throw DamagedPhoto("its header cannot be read");
  if (features.has_animation) throw NoPhoto("it is an animation; save one picture of it as JPEG");
  PhotoHeader header{features.width, features.height, 1, {}};
  if (const Bytes exif = find_chunk(bytes, "EXIF"); holds(exif, 0, "Exif"))
    read_exif(exif, header);
  else if (!exif.empty())
    read_bare_exif(exif, header);
  return header;
}

/// Where the picture's own chunk ends in the file; 0 where there is none.
std::size_t picture_end(Bytes bytes) {
  for (const char* name : {"VP8 ", "VP8L"})
    if (const Bytes picture = find_chunk(bytes, name); !picture.empty())
      return static_cast<std::size_t>(picture.data() - bytes.data()) + picture.size();
  return 0;
}

// WebP has no checksum: broken codes give smears, not errors. But they seldom take just as many bytes as the
// sound ones did, so a picture that is whole before its last bytes are read is none to count in.
cv::Mat decode(Bytes bytes, const PhotoHeader& header, int) {
  constexpr std::size_t kSpare = 64;  // the decoder reads a few bytes ahead
  cv::Mat bgr(header.height, header.width, CV_8UC3);
  const std::unique_ptr<WebPIDecoder, decltype(&WebPIDelete)> decoder(
      WebPINewRGB(MODE_BGR, bgr.data, bgr.total() * bgr.elemSize(), static_cast<int>(bgr.step)), WebPIDelete);
  const std::size_t end = picture_end(bytes), almost_all = end - std::min(kSpare, end);
  if (WebPIUpdate(decoder.get(), bytes.data(), almost_all) != VP8_STATUS_SUSPENDED ||
      WebPIUpdate(decoder.get(), bytes.data(), bytes.size()) != VP8_STATUS_OK)
    throw DamagedPhoto("its data end early or are broken");
  return bgr;
}

}  // namespace

const Codec kWebp{"WebP", is_webp, read_header, decode};

}  // namespace braird::vision
