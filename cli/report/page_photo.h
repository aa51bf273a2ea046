// SPDX-License-Identifier: Apache-2.0
// The photo of a counted tray, found again and made small enough for a page.
#pragma once

#include <cstddef>
#include <filesystem>
#include <map>
#include <opencv2/core.hpp>
#include <string>

#include "calibration/ledger/census_key.h"
#include "cli/report/report.h"

namespace braird::report {

/// Photos that were made small, so that a page that is made again soon costs no second look.
struct PhotoShelf {
  bool wanted = true;           ///< false: no photo goes into the page
  std::size_t bytes = 850'000;  ///< at most, of one JPEG; a data URI takes a third more
  std::filesystem::path
      elsewhere{};            ///< a folder in which photos that were moved may lie under their old names
  ledger::Bytes last_hash{};  ///< of the photo that was read last: it may show several trays
  cv::Mat last_photo{};
  std::map<std::string, PagePhoto> made{};  ///< by key and bytes
};

/// Puts the tray's photo, or why there is none, into `tray`. The photo must be, by content, the one that was
/// counted; a trouble with it is said, never thrown.
void add_photo(TrayReport& tray, const ledger::KeptCensus& census, PhotoShelf& shelf);

/// A part of a photo (8-bit BGR), small enough for a page: at most so many bytes.
PagePhoto page_photo(const cv::Mat& bgr, const cv::Rect& part, std::size_t bytes);

/// What was noted of the photo, and where the tray's numbering starts in it: the tray may be numbered the
/// other way round than when it was counted.
std::vector<std::string> remarks_on(ledger::PhotoNotes notes, const Tray& tray);

}  // namespace braird::report
