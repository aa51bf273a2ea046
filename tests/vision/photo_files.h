// SPDX-License-Identifier: Apache-2.0
// Photo files made for tests: every format and depth, EXIF written byte by byte, and a folder that goes when
// done.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <string>
#include <string_view>

namespace braird::test {

/// A fresh folder, removed with all it holds at the end of its scope.
struct ScratchFolder {
  std::filesystem::path path;
  ScratchFolder();
  ~ScratchFolder();
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;

  /// Writes `bytes` to a file of that name in the folder.
  std::filesystem::path write(const std::string& name, const std::string& bytes) const;
};

/// A scene whose corners differ: red, green, blue and white quarters on a ramp of grey. 8-bit BGR.
cv::Mat quartered_scene(int width, int height);

struct Exif {
  int orientation = 1;
  std::string taken;  ///< "2026:03:19 09:12:44"; empty: none
};

std::string exif_block(const Exif& exif);  ///< from its TIFF header on

std::string jpeg_bytes(const cv::Mat& bgr, int quality = 95);
std::string jpeg_bytes(const cv::Mat& bgr, const Exif& exif);
std::string grey_jpeg_bytes(const cv::Mat& bgr);
std::string cmyk_jpeg_bytes(const cv::Mat& bgr);  ///< inks stored inverted
std::string progressive_jpeg_bytes(const cv::Mat& bgr);
std::string jpeg_turned_undecoded(const cv::Mat& bgr);  ///< clockwise; of four rows' colours one is kept

enum class PngKind { bgr, grey, with_alpha, sixteen_bit };
std::string png_bytes(const cv::Mat& bgr, PngKind kind = PngKind::bgr);
std::string with_exif(const std::string& png, const Exif& exif);
std::string without_chunk(std::string png, std::string_view name);

/// The first bytes of a PNG of that size, up to where its pixels would begin.
std::string png_header(int width, int height);

std::string webp_bytes(const cv::Mat& bgr);
std::string animated_webp_bytes(const cv::Mat& bgr);  ///< of one picture
std::string tiff_bytes(const cv::Mat& bgr, int bits, const Exif& exif);
std::string preview_tiff_bytes(const cv::Mat& bgr);  ///< says of its page that it is one of a larger picture
std::string two_page_tiff_bytes(const cv::Mat& first, const cv::Mat& second);

}  // namespace braird::test
