// SPDX-License-Identifier: Apache-2.0
// HEIC files made for tests, by libheif's encoder.
#pragma once

#include <opencv2/core.hpp>
#include <string>

namespace braird::test {

struct HeicKind {
  int bits = 8;         ///< a colour
  int orientation = 1;  ///< as EXIF numbers them, told in the format's own way
  std::string profile;  ///< of the colours (ICC); empty: none
};

/// `bgr` as HEIC. With sides of odd lengths it becomes a picture of one tile, as phones write them of many.
std::string heic_bytes(const cv::Mat& bgr, const HeicKind& kind = {});

/// The same file, whose header tells another size; the pixels stay.
std::string with_heic_size(std::string heic, cv::Size told, cv::Size tells);

/// The same for the second place where a picture of tiles tells its size.
std::string with_tiled_size(std::string heic, cv::Size told, cv::Size tells);

}  // namespace braird::test
