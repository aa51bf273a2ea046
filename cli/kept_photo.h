// SPDX-License-Identifier: Apache-2.0
// The photos that kept censuses come from, as long as they stand where they were counted.
#pragma once

#include <filesystem>
#include <optional>

#include "calibration/ledger/records.h"
#include "vision/photo.h"

namespace braird::cli {

/// Read as closely as counting did. `tray`: one of its own. Throws like load_photo.
vision::Photo photo_again(const std::filesystem::path& file, const Tray& tray);

/// The census's photo, or nothing if it is gone, changed or can't be read.
std::optional<vision::Photo> standing_photo_of(const ledger::KeptCensus& census);

}  // namespace braird::cli
