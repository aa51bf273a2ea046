// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/codecs/codec.h"

namespace braird::vision {

/// Fills orientation and capture time from EXIF data, a block that starts with "Exif\0\0". Missing or damaged
/// EXIF leaves the header as it was.
void read_exif(Bytes bytes, PhotoHeader& header);

/// The same for a block that starts at its TIFF header, as PNG and WebP keep it.
void read_bare_exif(Bytes bytes, PhotoHeader& header);

/// "2026:03:19 09:12:44" as "2026-03-19T09:12:44"; nothing if it is no date and time.
std::optional<std::string> iso_time(const std::string& exif_time);

}  // namespace braird::vision
