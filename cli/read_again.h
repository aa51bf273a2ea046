// SPDX-License-Identifier: Apache-2.0
// `braird count --keep`: photos that have become earlier ones of their tray are read again.
#pragma once

#include <vector>

#include "calibration/ledger/ledger.h"
#include "calibration/ledger/records.h"

namespace braird::cli {

/// What came of it for one tray.
struct ReadAgain {
  int earlier = 0;      ///< photos that were read again
  bool itself = false;  ///< the one just kept was, since a later one is there
};

/// Reads again what is earlier now that the photo of this hash is kept: one entry a tray of it, each photo a
/// step of the ledger's. Photos that are gone or changed, and what can't be read, stay as they are; so do all
/// of a tray whose plants, as the latest photo shows them, that counter doesn't see.
std::vector<ReadAgain> read_again(ledger::Ledger& ledger, const ledger::Bytes& hash);

}  // namespace braird::cli
