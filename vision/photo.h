// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <span>

#include "calibration/census.h"
#include "vision/stage_times.h"

namespace braird::vision {

struct Photo {
  PhotoFacts facts;                ///< width and height are the photo's own, whatever it was read at
  cv::Mat bgr;                     ///< 8-bit, 3 channels, EXIF orientation applied
  double scale = 1;                ///< pixels of `bgr` to one of the photo: 1, 1/2, 1/4 or 1/8
  std::vector<StageTime> times{};  ///< of reading it
};

/// How closely is a photo read? For counting, large ones are halved while their longer side keeps 1,800 px:
/// trays of up to 30 cells across then still have 48 px a cell (counting looks at 72), and a JPEG is
/// decoded in half the time.
enum class Detail { full, counting };

/// Loads a JPEG, PNG, WebP or TIFF photo, or (where libheif is installed) a HEIC one. Throws
/// std::runtime_error with one sentence that names the file and what to do if it is missing, empty, damaged
/// (truncated too), no photo, too large, or too small.
Photo load_photo(const std::filesystem::path& path, Detail detail = Detail::full);

/// The same for the bytes of a file called `path`.
Photo photo_from(std::span<const unsigned char> bytes, const std::filesystem::path& path,
                 Detail detail = Detail::full);

}  // namespace braird::vision
