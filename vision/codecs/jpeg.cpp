// SPDX-License-Identifier: Apache-2.0
#include <turbojpeg.h>

#include <algorithm>
#include <memory>
#include <opencv2/imgproc.hpp>

#include "vision/codecs/exif.h"

namespace braird::vision {
namespace {

using Engine = std::unique_ptr<void, decltype(&tjDestroy)>;

[[noreturn]] void refuse(const Engine& engine) {
  throw DamagedPhoto(tjGetErrorStr2(engine.get()));
}

bool is_jpeg(Bytes bytes) {
  return holds(bytes, 0, "\xFF\xD8\xFF");
}

struct JpegSize {
  int width = 0, height = 0, colours = 0;
};

JpegSize read_size(const Engine& engine, Bytes bytes) {
  JpegSize size;
  int subsampling = 0;
  const int trouble = tjDecompressHeader3(engine.get(), bytes.data(), bytes.size(), &size.width, &size.height,
                                          &subsampling, &size.colours);
  // It has no names for rarer kinds of subsampling, which decode as well.
  const bool is_unnamed = subsampling < 0 && size.width > 0 && size.height > 0;
  if (trouble != 0 && !is_unnamed) refuse(engine);
  return size;
}

/// The segment that holds EXIF data, from "Exif" on, wherever it stands before the pixels; empty if none
/// does.
Bytes exif_segment(Bytes bytes) {
  constexpr unsigned char kPixels = 0xDA, kApp1 = 0xE1;
  for (std::size_t at = 2; at + 4 <= bytes.size() && bytes[at] == 0xFF;) {
    const unsigned char kind = bytes[at + 1];
    if (kind == kPixels) break;
    if (kind == 0xFF) {  // filling
      ++at;
      continue;
    }
    const std::size_t length = std::size_t{bytes[at + 2]} << 8 | bytes[at + 3];
    if (kind == kApp1 && length >= 8 && holds(bytes, at + 4, {"Exif\0\0", 6}))
      return bytes.subspan(at + 4, std::min(length - 2, bytes.size() - at - 4));
    at += 2 + length;
  }
  return {};
}

PhotoHeader read_header(Bytes bytes) {
  const JpegSize size = read_size(Engine(tjInitDecompress(), tjDestroy), bytes);
  PhotoHeader header{size.width, size.height, 1, {}};
  read_exif(exif_segment(bytes), header);
  return header;
}

/// Ink to light; such JPEGs store their inks inverted, as the Adobe programs do that write them.
cv::Mat bgr_from_inks(const cv::Mat& inks) {
  cv::Mat bgr(inks.size(), CV_8UC3);
  for (int y = 0; y < inks.rows; ++y)
    for (int x = 0; x < inks.cols; ++x) {
      const cv::Vec4b& ink = inks.at<cv::Vec4b>(y, x);
      for (int i = 0; i < 3; ++i) bgr.at<cv::Vec3b>(y, x)[i] = static_cast<uchar>(ink[2 - i] * ink[3] / 255);
    }
  return bgr;
}

cv::Mat decode(Bytes bytes, const PhotoHeader&, int divisor) {
  const Engine engine(tjInitDecompress(), tjDestroy);
  JpegSize size = read_size(engine, bytes);
  const tjscalingfactor scale{1, divisor};
  size.width = TJSCALED(size.width, scale);
  size.height = TJSCALED(size.height, scale);
  const bool inks = size.colours == TJCS_CMYK || size.colours == TJCS_YCCK;
  cv::Mat pixels(size.height, size.width, inks ? CV_8UC4 : CV_8UC3);
  // A photo with a damaged or missing part must not be counted as if the part were empty.
  constexpr int kStrict = TJFLAG_STOPONWARNING | TJFLAG_LIMITSCANS;
  if (tjDecompress2(engine.get(), bytes.data(), bytes.size(), pixels.data, size.width,
                    static_cast<int>(pixels.step), size.height, inks ? TJPF_CMYK : TJPF_BGR, kStrict) != 0)
    refuse(engine);
  return inks ? bgr_from_inks(pixels) : pixels;
}

}  // namespace

const Codec kJpeg{"JPEG", is_jpeg, read_header, decode};

std::string encode_jpeg(const cv::Mat& bgr, int quality) {
  const Engine engine(tjInitCompress(), tjDestroy);
  unsigned char* buffer = nullptr;
  unsigned long size = 0;
  const int trouble = tjCompress2(engine.get(), bgr.data, bgr.cols, static_cast<int>(bgr.step), bgr.rows,
                                  TJPF_BGR, &buffer, &size, TJSAMP_420, quality, 0);
  const std::unique_ptr<unsigned char, decltype(&tjFree)> owner(buffer, tjFree);
  if (trouble != 0)
    throw std::runtime_error(std::string("no JPEG could be made: ") + tjGetErrorStr2(engine.get()));
  return {reinterpret_cast<const char*>(buffer), size};
}

}  // namespace braird::vision
