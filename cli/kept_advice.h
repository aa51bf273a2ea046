// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>

#include "calibration/grower_advice.h"
#include "calibration/ledger/records.h"

namespace braird::cli {

/// What `braird advise` says of a sowing, told what the ledger knows of its lot: the other sowings'
/// trays that are all up, the bench's temperature, the pack's word. Nothing without trays, or without the
/// number of seeds a cell.
std::optional<AdviceReport> advice_on(const ledger::KeptLot& lot, const ledger::KeptSowing& sowing);

/// Likewise of the latest sowing of which it says anything.
std::optional<AdviceReport> latest_advice(const ledger::KeptLot& lot);

}  // namespace braird::cli
