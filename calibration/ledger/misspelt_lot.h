// SPDX-License-Identifier: Apache-2.0
// Was an old lot meant by the name of a new one?
#pragma once

#include <optional>
#include <string>

#include "calibration/ledger/sqlite.h"

namespace braird::ledger {

/// The lot whose name is nearest to this one, a slip or two away, or but for blanks, dashes and
/// the like the same. Other names that differ in a word with a digit or of one letter, as "Rowan 12" and "Rowan 13", are those of several lots.
std::optional<std::string> lot_spelt_like(const Database& file, const std::string& name);

}  // namespace braird::ledger
