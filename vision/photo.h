// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>

#include "calibration/census.h"

namespace braird::vision {

struct Photo {
  PhotoFacts facts;
  cv::Mat bgr;  ///< 8-bit, 3 channels, EXIF orientation applied
};

/// Loads a JPEG, PNG, WebP or TIFF photo. Throws std::runtime_error with one sentence that names the file and
/// what to do if it is missing, empty, damaged (truncated too), no photo, too large, or too small.
Photo load_photo(const std::filesystem::path& path);

/// Writes a JPEG beside its place and renames it there, so that no half-written file is left.
void save_jpeg(const std::filesystem::path& path, const cv::Mat& bgr, int quality = 88);

}  // namespace braird::vision
