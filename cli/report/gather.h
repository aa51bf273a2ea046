// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "cli/report/page_photo.h"
#include "cli/report/report.h"
#include "cli/report/subject.h"

namespace braird::report {

/// Gathers all that the page shows. Photos are cut to the page's room: one tray's may take `shelf.bytes`,
/// those of many share the room for photos. Throws std::invalid_argument with one sentence if the ledger
/// knows no such thing.
Report gather(ledger::Ledger& ledger, const Subject& subject, PhotoShelf& shelf);

/// The same with day and version.
Report make_report(ledger::Ledger& ledger, const Subject& subject, PhotoShelf& shelf);

}  // namespace braird::report
