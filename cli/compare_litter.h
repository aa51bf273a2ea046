// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>

#include "calibration/ledger/keep.h"

namespace braird::cli {

/// Compares trays of the photo being kept with earlier ones by what lies on their medium (vision/litter.h).
/// Photos of one day are not compared, nor such as don't tell the day: a tray is photographed once a day, so
/// they show others, and a whole bench would be compared with itself.
ledger::Comparison litter_comparison(const std::filesystem::path& photo, const PhotoFacts& facts);

}  // namespace braird::cli
