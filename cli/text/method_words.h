// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace braird::cli {

/// What an interval by Wilson's method allows for: "allows for trays that differ and for miscounts (Wilson)".
/// Other methods in brackets, as calibration calls them. `unit`: what calibration calls a cell; empty where
/// there is but one.
std::string method_words(const std::string& method, const std::string& unit = "cell");

}  // namespace braird::cli
