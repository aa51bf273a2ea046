// SPDX-License-Identifier: Apache-2.0
// What a person adds: facts of a lot or a sowing, decisions, hand checks, trays that get a label.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "calibration/ledger/ledger.h"
#include "calibration/ledger/records.h"

namespace braird::ledger {

struct Note {
  LotFacts lot;
  std::optional<SowingFacts> sowing{};  ///< plate, topping and temperature of the lot's sowings of that day
  std::optional<Decision> decision{};   ///< with `sown_on` or `tag`, about that sowing or tray of the lot
};

/// Fills in what is told (fields without a value stay as they are), as one step; the lot is made if missing.
/// Says whether it was. Throws std::invalid_argument if the ledger does not know the sowing or tray, or like
/// require_possible.
bool take_note(Ledger& ledger, const Note& note);

/// How the range of `can_be_stated` is told.
inline constexpr const char* kOfStated = "in percent, from 2 to 100, as in 92";
/// May a pack state that? As the advice has it: a share is no percentage.
inline bool can_be_stated(double percent) {
  return percent >= 2 && percent <= 100;
}

/// Throws std::invalid_argument with one sentence where they can't.
void require_possible(const std::optional<double>& stated_percent,
                      const std::optional<double>& temperature_c);

/// Hand counts of a census; a cell counted before is corrected, and stays drawn at random if it was. Throws
/// std::invalid_argument for a cell outside the tray, or a count outside 0..1000.
void note_checks(Ledger& ledger, const KeptCensus& census, const std::vector<HandCheck>& checks);

/// What is done with new tags before the ledger takes them; if it throws, no tag is taken.
using UseTags = std::function<void(const std::vector<std::string>&)>;

/// Makes trays with fresh tags that no tray of this ledger ever had ("K7": a letter and a number), and says
/// their tags. many ≥ 1.
std::vector<std::string> new_tagged_trays(
    Ledger& ledger, const std::string& lot, const std::optional<std::string>& crop, const SowingFacts& sowing,
    int many, const UseTags& use = [](const auto&) {});

}  // namespace braird::ledger
