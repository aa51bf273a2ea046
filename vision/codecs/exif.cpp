// SPDX-License-Identifier: Apache-2.0
#include "vision/codecs/exif.h"

#include <libexif/exif-data.h>

#include <algorithm>
#include <cctype>
#include <chrono>
#include <memory>
#include <vector>

namespace braird::vision {
namespace {

constexpr std::size_t kFarEnough = 1 << 20;  // 64 KiB are all that EXIF data can fill in a JPEG

ExifEntry* find_entry(ExifData* data, ExifIfd ifd, ExifTag tag) {
  return exif_content_get_entry(data->ifd[ifd], tag);
}

std::optional<std::string> time_in(ExifData* data, ExifIfd ifd, ExifTag tag) {
  const ExifEntry* entry = find_entry(data, ifd, tag);
  if (!entry || entry->format != EXIF_FORMAT_ASCII) return std::nullopt;
  return iso_time(std::string(reinterpret_cast<const char*>(entry->data), entry->size));
}

std::optional<std::string> capture_time(ExifData* data) {
  if (auto time = time_in(data, EXIF_IFD_EXIF, EXIF_TAG_DATE_TIME_ORIGINAL)) return time;
  if (auto time = time_in(data, EXIF_IFD_EXIF, EXIF_TAG_DATE_TIME_DIGITIZED)) return time;
  return time_in(data, EXIF_IFD_0, EXIF_TAG_DATE_TIME);
}

int orientation_in(ExifData* data, int otherwise) {
  const ExifEntry* entry = find_entry(data, EXIF_IFD_0, EXIF_TAG_ORIENTATION);
  if (!entry || entry->format != EXIF_FORMAT_SHORT || entry->components != 1) return otherwise;
  const int value = exif_get_short(entry->data, exif_data_get_byte_order(data));
  return value >= 1 && value <= 8 ? value : otherwise;
}

}  // namespace

void read_exif(Bytes bytes, PhotoHeader& header) {
  const auto length = static_cast<unsigned>(std::min(bytes.size(), kFarEnough));
  const std::unique_ptr<ExifData, decltype(&exif_data_unref)> data(
      exif_data_new_from_data(bytes.data(), length), exif_data_unref);
  if (!data) return;
  header.orientation = orientation_in(data.get(), header.orientation);
  if (auto time = capture_time(data.get())) header.taken = time;
}

void read_bare_exif(Bytes bytes, PhotoHeader& header) {
  std::vector<unsigned char> block = {'E', 'x', 'i', 'f', 0, 0};
  block.insert(block.end(), bytes.begin(), bytes.end());
  read_exif(block, header);
}

std::optional<std::string> iso_time(const std::string& exif_time) {
  constexpr std::string_view kShape = "dddd:dd:dd dd:dd:dd";
  if (exif_time.size() < kShape.size()) return std::nullopt;
  for (std::size_t i = 0; i < kShape.size(); ++i) {
    const bool digit = std::isdigit(static_cast<unsigned char>(exif_time[i])) != 0;
    if (kShape[i] == 'd' ? !digit : exif_time[i] != kShape[i]) return std::nullopt;
  }
  const auto part = [&](int at, int length) { return std::stoi(exif_time.substr(at, length)); };
  const std::chrono::year_month_day date{std::chrono::year(part(0, 4)), std::chrono::month(part(5, 2)),
                                         std::chrono::day(part(8, 2))};
  const bool sound = date.ok() && part(0, 4) > 0 && part(11, 2) < 24 && part(14, 2) < 60 && part(17, 2) <= 60;
  if (!sound) return std::nullopt;
  return exif_time.substr(0, 4) + '-' + exif_time.substr(5, 2) + '-' + exif_time.substr(8, 2) + 'T' +
         exif_time.substr(11, 8);
}

}  // namespace braird::vision
