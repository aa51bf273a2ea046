// SPDX-License-Identifier: Apache-2.0
#include "cli/report/page_photo.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "calibration/ledger/keep.h"
#include "cli/order.h"
#include "cli/report/words.h"
#include "vision/codecs/codec.h"
#include "vision/numbering.h"
#include "vision/photo.h"
#include "vision/shrink.h"

namespace braird::report {
namespace {

namespace fs = std::filesystem;

constexpr double kPageSide = 1800;  // px; a cell of a tray of 28 columns still has 60
constexpr double kAround = 1.1;     // pitches around the outermost centres
constexpr int kQuality = 78;
constexpr double kBytesOfPixel = 0.2;  // about, at that quality; 0.21 to 0.35 in the sample photos

/// Where the photo is now; empty if it is nowhere.
fs::path place_of(const fs::path& file, const fs::path& elsewhere) {
  std::error_code unused;
  if (fs::is_regular_file(file, unused)) return file;
  const fs::path moved = elsewhere / file.filename();
  return !elsewhere.empty() && fs::is_regular_file(moved, unused) ? moved : fs::path();
}

cv::Rect bounds_of(const Tray& tray, cv::Size photo) {
  double left = photo.width, top = photo.height, right = 0, bottom = 0;
  for (const Cell& cell : tray.cells) {
    left = std::min(left, cell.centre_px.x);
    right = std::max(right, cell.centre_px.x);
    top = std::min(top, cell.centre_px.y);
    bottom = std::max(bottom, cell.centre_px.y);
  }
  const double margin = kAround * tray.pitch_px;
  const cv::Point first(static_cast<int>(left - margin), static_cast<int>(top - margin)),
      last(static_cast<int>(right + margin) + 1, static_cast<int>(bottom + margin) + 1);
  return cv::Rect(first, last) & cv::Rect(cv::Point(), photo);
}

}  // namespace

PagePhoto page_photo(const cv::Mat& bgr, const cv::Rect& part, std::size_t bytes) {
  PagePhoto page;  // as large as the bytes allow: size gives way before quality, which fine stems need
  page.origin = {static_cast<double>(part.x), static_cast<double>(part.y)};
  page.scale = std::min({1., kPageSide / std::max(part.width, part.height),
                         std::sqrt(static_cast<double>(bytes) / kBytesOfPixel / part.area())});
  for (int tries = 0; tries < 8; ++tries) {
    const cv::Mat picture = vision::shrunk(bgr(part).clone(), page.scale);
    page.jpeg = vision::encode_jpeg(picture, kQuality);
    page.width = picture.cols;
    page.height = picture.rows;
    if (page.jpeg.size() <= bytes) break;
    page.scale *=
        std::clamp(std::sqrt(static_cast<double>(bytes) / static_cast<double>(page.jpeg.size())), .5, .95);
  }
  return page;
}

void add_photo(TrayReport& tray, const ledger::KeptCensus& census, PhotoShelf& shelf) {
  const std::string name = fs::path(census.file).filename().string();
  const auto without = [&](const char* why) { tray.why_no_photo = fmt::format(fmt::runtime(why), name); };
  if (!shelf.wanted) return without(words::kPhotoLeftOut);
  const fs::path place = place_of(census.file, shelf.elsewhere);
  if (place.empty()) return without(words::kPhotoGone);
  const std::string at = fmt::format("{} {}", tray.key, shelf.bytes);
  tray.photo_file = place.string();
  try {
    if (const auto known = shelf.made.find(at); known != shelf.made.end()) {
      tray.photo = known->second;
      return;
    }
    if (shelf.last_hash != census.hash) {
      if (ledger::content_hash(place) != census.hash) return without(words::kPhotoChanged);
      shelf.last_photo = vision::load_photo(place).bgr;
      shelf.last_hash = census.hash;
    }
    const cv::Rect bounds = bounds_of(census.tray, shelf.last_photo.size());
    if (bounds.empty()) throw std::runtime_error("the tray lies outside the photo");
    tray.photo = page_photo(shelf.last_photo, bounds, shelf.bytes);
    shelf.made[at] = *tray.photo;
  } catch (const std::exception&) {
    without(words::kPhotoUnread);
  }
}

std::vector<std::string> remarks_on(ledger::PhotoNotes notes, const Tray& tray) {
  std::erase_if(notes.remarks, [up = has_any_up(tray)](const std::string& remark) {
    return remark.starts_with(vision::kFirstCellIs) || (up && remark == cli::kNothingSeen);
  });
  notes.remarks.push_back(std::string(vision::kFirstCellIs) + vision::first_corner(tray.corners_px) +
                          words::kFirstOnMap);
  return notes.remarks;
}

}  // namespace braird::report
