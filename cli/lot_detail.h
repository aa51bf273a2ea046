// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "cli/text/lots_text.h"

namespace braird::cli {

/// All that is known of a lot: what `braird lot` prints, and the report shows.
LotDetail detail_of(const ledger::Ledger& ledger, const ledger::KeptLot& kept);

}  // namespace braird::cli
