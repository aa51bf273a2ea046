// SPDX-License-Identifier: Apache-2.0
// JSON as braird writes it.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "calibration/interval.h"

namespace braird {

/// What isn't known is null.
template <typename Value>
nlohmann::ordered_json or_null(const std::optional<Value>& value) {
  return value ? nlohmann::ordered_json(*value) : nlohmann::ordered_json();
}

/// "estimate", "low", "high" and "method".
inline nlohmann::ordered_json estimate_json(const Estimate& of) {
  return {{"estimate", of.estimate}, {"low", of.low}, {"high", of.high}, {"method", of.method}};
}

/// On one line, or indented by so much. Bytes that are no UTF-8, as a photo's name may have, are replaced.
inline std::string text_of(const nlohmann::ordered_json& json, int indent = -1) {
  return json.dump(indent, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

}  // namespace braird
