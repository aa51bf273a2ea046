// SPDX-License-Identifier: Apache-2.0
#include "vision/codecs/codec.h"

#include <algorithm>

namespace braird::vision {

bool holds(Bytes bytes, std::size_t offset, std::string_view magic) {
  return bytes.size() >= offset + magic.size() &&
         std::equal(magic.begin(), magic.end(), bytes.begin() + static_cast<std::ptrdiff_t>(offset),
                    [](char a, unsigned char b) { return static_cast<unsigned char>(a) == b; });
}

const Codec* codec_for(Bytes bytes) {
  for (const Codec* codec : {&kJpeg, &kPng, &kWebp, &kTiff, &kHeic})
    if (codec->recognises(bytes)) return codec;
  return nullptr;
}

}  // namespace braird::vision
