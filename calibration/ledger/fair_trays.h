// SPDX-License-Identifier: Apache-2.0
// Which trays may be held against pack, law or earlier sowings? None that is still coming up, by the
// crop's usual days (advice.h) or by its own course, none that was counted with doubt.
#pragma once

#include <optional>
#include <string>

#include "calibration/ledger/records.h"

namespace braird::ledger {

/// The day by which a crop is up as far as it will come; of one that isn't known, or has no such day, the
/// slowest one's.
int telling_day(const std::optional<std::string>& crop);

/// Whole days from sowing to the tray's latest photo, but no more than `telling`; that where they aren't
/// known (age_when_seen).
int age_of(const KeptTray& tray, const SowingFacts& sowing, int telling);

/// The sowing with only those trays that were counted at that age, none whose photos show that it still
/// rises, and none of which the advice is to look at the picture first. Each is held by its latest photo; but
/// where an earlier one shows over a tenth more, as seedlings died back or were thinned out, by the fullest:
/// that they germinated is beyond doubt.
KeptSowing fair_trays(const KeptSowing& sowing, int age, int telling);

}  // namespace braird::ledger
