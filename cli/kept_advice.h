// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <span>

#include "calibration/grower_advice.h"
#include "calibration/ledger/records.h"

namespace braird::cli {

/// What `braird advise` says of some sowings of one day, told what the ledger knows of their lot: the other
/// sowings' trays that are all up, the bench's temperature, the pack's word. Nothing without trays of which
/// the seeds a cell are known.
std::optional<AdviceReport> advice_on(const ledger::KeptLot& lot,
                                      std::span<const ledger::KeptSowing> sowings);

/// Likewise of all that were sown on the latest day of which it says anything.
std::optional<AdviceReport> latest_advice(const ledger::KeptLot& lot);

}  // namespace braird::cli
