// SPDX-License-Identifier: Apache-2.0
#include "cli/kept_photo.h"

#include <exception>

#include "calibration/ledger/rereading.h"
#include "vision/flat_tray.h"

namespace braird::cli {

using vision::Detail;

vision::Photo photo_again(const std::filesystem::path& file, const Tray& tray) {
  vision::Photo photo = vision::load_photo(file, Detail::counting);
  if (photo.scale < 1 && tray.pitch_px * photo.scale < vision::kCoarseCell)
    photo = vision::load_photo(file, Detail::full);
  return photo;
}

std::optional<vision::Photo> standing_photo_of(const ledger::KeptCensus& census) try {
  return still_stands(census) ? std::optional(photo_again(census.file, census.tray)) : std::nullopt;
} catch (const std::exception&) {
  return std::nullopt;
}

}  // namespace braird::cli
