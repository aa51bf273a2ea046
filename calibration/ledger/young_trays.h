// SPDX-License-Identifier: Apache-2.0
// Which of a lot's trays are too young to be pooled with its others?
#pragma once

#include <optional>
#include <vector>

#include "calibration/ledger/records.h"

namespace braird::ledger {

/// The sowings with their trays that speak (telling_trays), but for those in which, by the crop's usual course
/// (timing.h), less than nine tenths is up of what is up in the lot's oldest: a tray sown last week would
/// drag down a lot that came up well. Nothing where none is that young, or the crop or its days aren't known.
std::optional<std::vector<KeptSowing>> without_young(const KeptLot& kept);

}  // namespace braird::ledger
