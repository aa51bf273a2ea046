// SPDX-License-Identifier: Apache-2.0
// The census as JSON, format "braird-census" version 1: one object a photo, one line each.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "calibration/census.h"

namespace braird {

inline constexpr const char* kCensusFormat = "braird-census";
inline constexpr int kCensusVersion = 1;

/// A tray's summary; its sum goes by the name of what was counted, so that seeds are never read as seedlings.
nlohmann::ordered_json summary_json(const TraySummary& sum, Counted counted);

/// The census as a JSON object; coordinates rounded to 0.1 px, chances to 0.0001.
nlohmann::ordered_json to_json(const Census& census);

/// Reads what `to_json` wrote. Throws std::invalid_argument with one sentence if the object is no census, is
/// of a newer version, or contradicts itself (cells missing, chances that do not sum to 1).
Census census_from_json(const nlohmann::ordered_json& object);

}  // namespace braird
