// SPDX-License-Identifier: Apache-2.0
// Which kept photos are to be read again, beside the latest photo of the same tray?
//
// What a photo hardly shows, one taken later shows better; so when a tray's latest photo is kept, all that
// were taken before are read again beside it, and a photo kept after a later one is, too. Photos without a
// time are left out. So are those with hand checks: the rates are corrected by how such a photo was read.
#pragma once

#include <optional>
#include <vector>

#include "calibration/ledger/ledger.h"
#include "calibration/ledger/records.h"

namespace braird::ledger {

/// A tray's photos that are to be read again, by the time they were taken, beside its latest.
struct Rereading {
  std::optional<KeptCensus> latest;  ///< nothing: there are none
  std::vector<KeptCensus> earlier;
  bool latest_is_new = false;  ///< the photo just kept is the latest
};

/// Called when a photo of this hash was kept: one entry a tray of it. Hand checks are not filled in.
std::vector<Rereading> to_read_again(const Ledger& ledger, const Bytes& hash);

/// Whether the photo still stands where it was counted, unchanged.
bool still_stands(const KeptCensus& census);

/// Replaces the counts, chances and reviews of a census by those of `tray`, as one step ("read A again beside
/// B"). False, and nothing has changed, if hand checks stand on it or it is another tray's by now.
bool replace_counts(Ledger& ledger, const KeptCensus& one, const Tray& tray, const KeptCensus& beside);

}  // namespace braird::ledger
