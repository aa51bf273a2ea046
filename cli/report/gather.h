// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>

#include "calibration/ledger/history.h"
#include "cli/report/page_photo.h"
#include "cli/report/report.h"

namespace braird::report {

/// What a report is about; the first that is told decides.
struct Subject {
  std::string tray;                    ///< a tag, or a kept photo
  std::string lot;                     ///< with `sown_on`: one sowing of it
  std::optional<std::string> sown_on;  ///< "YYYY-MM-DD"
  ledger::Filter filter;               ///< of the lots that are shown, or of the lot's sowings
};

/// Gathers all that the page shows. Photos are cut to the page's room: one tray's may take `shelf.bytes`,
/// those of many share the room for photos. Throws std::invalid_argument with one sentence if the ledger
/// knows no such thing.
Report gather(ledger::Ledger& ledger, const Subject& subject, PhotoShelf& shelf);

/// The same with day and version.
Report make_report(ledger::Ledger& ledger, const Subject& subject, PhotoShelf& shelf);

}  // namespace braird::report
