// SPDX-License-Identifier: Apache-2.0
// The census as JSON, format "braird-census" version 1: one object a photo, one line each.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "calibration/census.h"

namespace braird {

/// The census as a JSON object; coordinates rounded to 0.1 px, chances to 0.0001.
nlohmann::ordered_json to_json(const Census& census);

/// Reads what `to_json` wrote. Throws std::invalid_argument with one sentence if the object is no census, is
/// of a newer version, or contradicts itself (cells missing, chances that do not sum to 1).
Census census_from_json(const nlohmann::ordered_json& object);

}  // namespace braird
