// SPDX-License-Identifier: Apache-2.0
// What is a counted tray called outside the ledger, so that it is found again whatever was kept since?
//
// Tags are photographed again and photos are moved; the photo's content stays. A key is the photo's hash in
// hex, and "-2" and so on for its second and further trays.
#pragma once

#include "calibration/ledger/history.h"

namespace braird::ledger {

std::string census_key(const Ledger& ledger, const KeptCensus& census);

/// Throws std::invalid_argument with one sentence if the ledger knows no such census.
FoundCensus census_of_key(const Ledger& ledger, const std::string& key);

/// What was noted of a photo when it was counted.
struct PhotoNotes {
  int width = 0, height = 0;  ///< px
  std::vector<std::string> remarks;
};
PhotoNotes notes_of_photo(const Ledger& ledger, const Bytes& hash);

/// Is a photo of this content in the ledger?
bool knows_photo(const Ledger& ledger, const Bytes& hash);

}  // namespace braird::ledger
