// SPDX-License-Identifier: Apache-2.0
#include <webp/decode.h>

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

cv::Mat decode(Bytes bytes, const PhotoHeader& header, int) {
  cv::Mat bgr(header.height, header.width, CV_8UC3);
  const std::size_t room = bgr.total() * bgr.elemSize();
  if (!WebPDecodeBGRInto(bytes.data(), bytes.size(), bgr.data, room, static_cast<int>(bgr.step)))
    throw DamagedPhoto("its data end early or are broken");
  return bgr;
}

}  // namespace

const Codec kWebp{"WebP", is_webp, read_header, decode};

}  // namespace braird::vision
