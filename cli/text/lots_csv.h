// SPDX-License-Identifier: Apache-2.0
// Lots as comma-separated values with a heading; shares 0..1, empty where not known.
#pragma once

#include <string>
#include <vector>

#include "calibration/ledger/lot_summary.h"

namespace braird::cli {

/// A line a lot.
std::string lots_csv(const std::vector<ledger::LotSummary>& lots);

/// A lot's sowings, a line each.
std::string lot_csv(const ledger::LotSummary& lot);

}  // namespace braird::cli
