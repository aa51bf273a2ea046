// SPDX-License-Identifier: Apache-2.0
// `braird count --keep`: photos kept before are read again beside the latest one of their tray.
#pragma once

#include <vector>

#include "calibration/ledger/ledger.h"
#include "calibration/ledger/records.h"

namespace braird::cli {

/// What came of it for one tray.
struct ReadAgain {
  int earlier = 0;              ///< photos that were read again beside the one just kept
  bool beside_a_later = false;  ///< the one just kept was, beside a later one
};

/// Reads again what gains from the photo of this hash, just kept: one entry a tray of it, each photo a step
/// of the ledger's. Photos that are gone or changed, and what can't be read, stay as they are.
std::vector<ReadAgain> read_again(ledger::Ledger& ledger, const ledger::Bytes& hash);

}  // namespace braird::cli
