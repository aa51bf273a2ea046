// SPDX-License-Identifier: Apache-2.0
// What a person adds: facts of a lot or a sowing, decisions, hand checks, trays that get a label.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/ledger/ledger.h"
#include "calibration/ledger/records.h"

namespace braird::ledger {

/// Fills in what is told of a lot (fields without a value stay as they are); the lot is made if missing.
void note_lot(Ledger& ledger, const LotFacts& facts);

/// Fills in plate, topping and temperature of the lot's sowings of that day. Throws std::invalid_argument if
/// the ledger knows no such sowing.
void note_sowing(Ledger& ledger, const std::string& lot, const SowingFacts& facts);

/// Writes down what was decided about a lot; with `sown_on` or `tag`, about that sowing or tray of it. Throws
/// std::invalid_argument if the ledger does not know them.
void note_decision(Ledger& ledger, const std::string& lot, const Decision& decision);

/// Hand counts of a census; a cell counted before is corrected, and stays drawn at random if it was. Throws
/// std::invalid_argument for a cell outside the tray, or a count outside 0..1000.
void note_checks(Ledger& ledger, const KeptCensus& census, const std::vector<HandCheck>& checks);

/// Makes trays with fresh tags that no tray of this ledger ever had ("K7": a letter and a number), and says
/// their tags. many ≥ 1.
std::vector<std::string> new_tagged_trays(Ledger& ledger, const std::string& lot,
                                          const std::optional<std::string>& crop, const SowingFacts& sowing,
                                          int many);

}  // namespace braird::ledger
