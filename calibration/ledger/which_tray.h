// SPDX-License-Identifier: Apache-2.0
// Which tray of the ledger does a census show, and which way round? keep.h says how it is decided.
#pragma once

#include <span>

#include "calibration/ledger/keep.h"
#include "calibration/ledger/ledger.h"
#include "calibration/ledger/records.h"

namespace braird::ledger {

/// Where a census goes: its tray, and the census in that tray's numbering.
struct Place {
  std::int64_t tray = 0;
  Tray census;
  bool turned = false;
};

/// Where a tray of a photo that is kept again stood before.
struct Stood {
  std::int64_t tray = 0, sowing = 0;
  bool alone = false;                 ///< its tray has this shape and no other photo
  std::optional<Place> same_cells{};  ///< the census in its former numbering, if it lies over the same cells
};

/// A tray of the photo that is being kept.
struct SeenTray {
  std::int64_t sowing = 0, photo = 0;
  const Tray& census;
  const Comparison& compare;
  std::optional<Stood> stood{};
};

/// A tray of that tag, made if missing and moved to the sowing. Throws std::invalid_argument if it has
/// another shape or photos of before that sowing, or the plants do not tell which way round it lies
/// (`as_before` says it was not turned). A photo that stood in it stays as it stood. Where the tag has no
/// other photo yet, the untagged tray that this one would go to without its tag becomes the tag's, with all
/// its photos.
Place place_of_tagged(const Database& file, const std::string& tag, const SeenTray& seen,
                      std::span<const std::int64_t> taken, bool as_before);

/// The tray it stood in, if that is one of the sowing; else the sowing's tray whose plants stand in the same
/// places, or that the comparison says it is, none of `taken`; else the tray it stood in alone, moved to the
/// sowing; else a new one.
Place place_of_untagged(const Database& file, const SeenTray& seen, std::span<const std::int64_t> taken);

}  // namespace braird::ledger
