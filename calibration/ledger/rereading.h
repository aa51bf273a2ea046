// SPDX-License-Identifier: Apache-2.0
// Which kept photos are to be read again, since a later one of the same tray is there?
//
// A tray's latest photo says what stands now; those before it say when that came up, and a counter fitted to
// trays that come up reads them better (vision/coming_up.h). Photos without a time are left out. So are those
// with hand checks: the rates are corrected by how such a photo was read.
#pragma once

#include <vector>

#include "calibration/ledger/ledger.h"
#include "calibration/ledger/records.h"

namespace braird::ledger {

/// A tray's photos that are to be read again, by the time they were taken.
struct Rereading {
  std::vector<KeptCensus> earlier;
  KeptCensus latest;
  /// The photo just kept is the latest; else it is the only one to be read again.
  bool latest_is_new = false;
};

/// Called when a photo of this hash was kept: one entry a tray of it. Hand checks are not filled in.
std::vector<Rereading> to_read_again(const Ledger& ledger, const Bytes& hash);

/// Whether the photo still stands where it was counted, unchanged.
bool still_stands(const KeptCensus& census);

/// Puts the counts, chances and reviews of `tray` beside those that a census was kept with, as one step
/// ("read A again"): they stand as long as a later photo of its tray is there. False, and nothing has
/// changed, if hand checks stand on it or it is gone or of another shape by now.
bool replace_counts(Ledger& ledger, const KeptCensus& one, const Tray& tray);

}  // namespace braird::ledger
