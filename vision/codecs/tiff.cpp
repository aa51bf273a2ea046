// SPDX-License-Identifier: Apache-2.0
#include <tiffio.h>

#include <algorithm>
#include <cstdarg>
#include <cstdio>
#include <cstring>
#include <memory>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/codecs/exif.h"

namespace braird::vision {
namespace {

// A strip of a 16-bit photo of 80 megapixels; more is a damaged header.
constexpr tmsize_t kMostBytesAtOnce = tmsize_t{512} << 20;

/// The file as libtiff sees it, and the first complaint it has about it.
struct Source {
  Bytes bytes;
  std::size_t at = 0;
  std::string complaint;
};

Source& source(thandle_t handle) {
  return *static_cast<Source*>(handle);
}

tmsize_t read_bytes(thandle_t handle, void* into, tmsize_t wanted) {
  Source& from = source(handle);
  const std::size_t length = std::min(static_cast<std::size_t>(wanted), from.bytes.size() - from.at);
  std::memcpy(into, from.bytes.data() + from.at, length);
  from.at += length;
  return static_cast<tmsize_t>(length);
}

tmsize_t write_nothing(thandle_t, void*, tmsize_t) {
  return 0;
}

toff_t seek_to(thandle_t handle, toff_t offset, int whence) {
  Source& from = source(handle);
  const toff_t base = whence == SEEK_SET ? 0 : whence == SEEK_CUR ? from.at : from.bytes.size();
  from.at = static_cast<std::size_t>(std::min<toff_t>(base + offset, from.bytes.size()));
  return from.at;
}

int close_nothing(thandle_t) {
  return 0;
}
toff_t size_of(thandle_t handle) {
  return source(handle).bytes.size();
}

int note_complaint(TIFF*, void* user, const char*, const char* format, va_list details) {
  Source& from = *static_cast<Source*>(user);
  char words[256];
  std::vsnprintf(words, sizeof words, format, details);
  if (from.complaint.empty()) from.complaint = words;
  return 1;
}

int keep_quiet(TIFF*, void*, const char*, const char*, va_list) {
  return 1;
}

using Tiff = std::unique_ptr<TIFF, decltype(&TIFFClose)>;

Tiff open(Source& from) {
  const std::unique_ptr<TIFFOpenOptions, decltype(&TIFFOpenOptionsFree)> options(TIFFOpenOptionsAlloc(),
                                                                                 TIFFOpenOptionsFree);
  TIFFOpenOptionsSetMaxSingleMemAlloc(options.get(), kMostBytesAtOnce);
  TIFFOpenOptionsSetErrorHandlerExtR(options.get(), note_complaint, &from);
  TIFFOpenOptionsSetWarningHandlerExtR(options.get(), keep_quiet, nullptr);
  Tiff tiff(TIFFClientOpenExt("photo", "rm", &from, read_bytes, write_nothing, seek_to, close_nothing,
                              size_of, nullptr, nullptr, options.get()),
            TIFFClose);
  if (!tiff) throw DamagedPhoto(from.complaint);
  return tiff;
}

bool is_tiff(Bytes bytes) {
  using namespace std::string_view_literals;
  return holds(bytes, 0, "II*\0"sv) || holds(bytes, 0, "MM\0*"sv);
}

std::optional<std::string> time_in(TIFF* tiff, uint32_t tag) {
  const char* text = nullptr;
  if (TIFFGetField(tiff, tag, &text) != 1 || text == nullptr) return std::nullopt;
  return iso_time(text);
}

/// Leaves the TIFF at its EXIF directory if it has one: ask this last.
std::optional<std::string> capture_time(TIFF* tiff) {
  auto changed = time_in(tiff, TIFFTAG_DATETIME);
  toff_t exif = 0;
  if (TIFFGetField(tiff, TIFFTAG_EXIFIFD, &exif) != 1 || TIFFReadEXIFDirectory(tiff, exif) != 1)
    return changed;
  const auto taken = time_in(tiff, EXIFTAG_DATETIMEORIGINAL);
  return taken ? taken : changed;
}

/// Camera raw files often begin with a preview, which is no photo to count in.
bool is_raw_or_preview(TIFF* tiff) {
  const uint8_t* version = nullptr;
  uint32_t kind = 0;
  return TIFFGetField(tiff, TIFFTAG_DNGVERSION, &version) == 1 ||
         (TIFFGetField(tiff, TIFFTAG_SUBFILETYPE, &kind) == 1 && (kind & FILETYPE_REDUCEDIMAGE) != 0);
}

PhotoHeader read_header(Bytes bytes) {
  Source from{bytes, 0, {}};
  const Tiff tiff = open(from);
  if (is_raw_or_preview(tiff.get()))
    throw NoPhoto("it is a camera's raw file or begins with a preview; save the photo as JPEG");
  uint32_t width = 0, height = 0;
  uint16_t orientation = 1;
  TIFFGetField(tiff.get(), TIFFTAG_IMAGEWIDTH, &width);
  TIFFGetField(tiff.get(), TIFFTAG_IMAGELENGTH, &height);
  TIFFGetField(tiff.get(), TIFFTAG_ORIENTATION, &orientation);
  if (width > INT32_MAX || height > INT32_MAX) throw DamagedPhoto("its size is out of range");
  PhotoHeader header{static_cast<int>(width), static_cast<int>(height), 1, {}};
  if (orientation >= 1 && orientation <= 8) header.orientation = orientation;
  header.taken = capture_time(tiff.get());
  return header;
}

cv::Mat decode(Bytes bytes, const PhotoHeader& header, int) {
  Source from{bytes, 0, {}};
  const Tiff tiff = open(from);
  char why_not[1024] = "";
  if (TIFFRGBAImageOK(tiff.get(), why_not) != 1)
    throw NoPhoto(std::string("its pixels are of a kind that can't be read (") + why_not +
                  "); save the photo as JPEG");
  cv::Mat rgba(header.height, header.width, CV_8UC4), bgr;
  // Asked for in the orientation it is stored in, libtiff turns nothing; load_photo does that for all
  // formats.
  if (TIFFReadRGBAImageOriented(tiff.get(), rgba.cols, rgba.rows, rgba.ptr<uint32_t>(), header.orientation,
                                1) != 1 ||
      !from.complaint.empty())
    throw DamagedPhoto(from.complaint.empty() ? "its data end early or are broken" : from.complaint);
  cv::cvtColor(rgba, bgr, cv::COLOR_RGBA2BGR);
  return bgr;
}

}  // namespace

const Codec kTiff{"TIFF", is_tiff, read_header, decode};

}  // namespace braird::vision
