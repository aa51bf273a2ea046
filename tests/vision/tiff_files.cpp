// SPDX-License-Identifier: Apache-2.0
#include <tiffio.h>

#include <fstream>
#include <functional>
#include <iterator>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

#include "tests/vision/photo_files.h"

namespace braird::test {
namespace {

void require_written(bool holds) {
  if (!holds) throw std::logic_error("a TIFF photo for a test could not be made");
}

void write_page(TIFF* tiff, const cv::Mat& bgr, int bits, const Exif& exif) {
  cv::Mat pixels;
  cv::cvtColor(bgr, pixels, cv::COLOR_BGR2RGB);
  if (bits == 16) pixels.convertTo(pixels, CV_16UC3, 257);
  TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, bgr.cols);
  TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, bgr.rows);
  TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, bits);
  TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, 3);
  TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_RGB);
  TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG);
  TIFFSetField(tiff, TIFFTAG_ORIENTATION, exif.orientation);
  TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, 32);
  if (!exif.taken.empty()) TIFFSetField(tiff, TIFFTAG_DATETIME, exif.taken.c_str());
  for (int y = 0; y < pixels.rows; ++y)
    require_written(TIFFWriteScanline(tiff, pixels.ptr(y), static_cast<uint32_t>(y), 0) == 1);
  require_written(TIFFWriteDirectory(tiff) == 1);
}

std::string written_tiff(const std::function<void(TIFF*)>& write) {
  const ScratchFolder folder;
  TIFF* tiff = TIFFOpen((folder.path / "photo.tif").c_str(), "w");
  require_written(tiff != nullptr);
  write(tiff);
  TIFFClose(tiff);
  std::ifstream file(folder.path / "photo.tif", std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

}  // namespace

std::string tiff_bytes(const cv::Mat& bgr, int bits, const Exif& exif) {
  return written_tiff([&](TIFF* tiff) { write_page(tiff, bgr, bits, exif); });
}

std::string preview_tiff_bytes(const cv::Mat& bgr) {
  return written_tiff([&](TIFF* tiff) {
    TIFFSetField(tiff, TIFFTAG_SUBFILETYPE, FILETYPE_REDUCEDIMAGE);
    write_page(tiff, bgr, 8, {});
  });
}

std::string two_page_tiff_bytes(const cv::Mat& first, const cv::Mat& second) {
  return written_tiff([&](TIFF* tiff) {
    write_page(tiff, first, 8, {});
    write_page(tiff, second, 8, {});
  });
}

}  // namespace braird::test
