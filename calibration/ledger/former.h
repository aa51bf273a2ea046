// SPDX-License-Identifier: Apache-2.0
// A photo that is kept again: what was known of it.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "calibration/ledger/rows.h"
#include "calibration/ledger/which_tray.h"

namespace braird::ledger {

/// A census of the photo as it stood before: its tray, shape and place in the photo.
struct Former {
  Standing at;
  TrayLabel known;  ///< no tag: empty; no lot where its name was made up
  Layout layout;
  std::array<Point, 4> corners_px;
  bool alone = false;  ///< the only photo of its tray
};

/// By number.
std::vector<Former> former_censuses(const Database& file, std::int64_t photo);

/// Do both lie over the same cells of the photo, numbered from the same corner?
bool same_corners(const std::array<Point, 4>& former_px, const Tray& tray);

/// Where this tray of the photo stood, for deciding where it goes.
Stood stood(const Former& former, const Tray& now);

/// The name of a lot of which neither name nor crop is known.
inline constexpr const char* kUnnamed = "unnamed";

}  // namespace braird::ledger
