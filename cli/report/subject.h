// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/ledger/history.h"
#include "cli/report/report.h"

namespace braird::report {

/// What a report is about; the first that is told decides.
struct Subject {
  std::string tray;                    ///< a tag, or a kept photo
  std::string lot;                     ///< with `sown_on`: one sowing of it
  std::optional<std::string> sown_on;  ///< "YYYY-MM-DD"
  ledger::Filter filter;               ///< of the lots that are shown, or of the lot's sowings
};

/// The lots that it speaks of, with only those sowings, trays and photos; gives the report its title and
/// scope. Throws std::invalid_argument with one sentence if the ledger knows no such thing.
std::vector<ledger::KeptLot> lots_asked(ledger::Ledger& ledger, const Subject& subject, Report& report);

}  // namespace braird::report
