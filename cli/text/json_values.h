// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>

namespace braird::cli {

/// `value`, or null where it is infinite or no number: JSON has neither.
inline nlohmann::ordered_json finite(double value) {
  return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json(nullptr);
}

}  // namespace braird::cli
