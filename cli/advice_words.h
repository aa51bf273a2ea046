// SPDX-License-Identifier: Apache-2.0
// What a person types after single options of `braird advise`. They throw std::invalid_argument with one
// sentence that names the option; empty text is "not told".
#pragma once

#include <optional>
#include <string>

#include "cli/advice_order.h"

namespace braird::cli {

/// Cells of a known tray, of rows and columns as in 8x16, or their number.
std::optional<int> cells_of_tray(const std::string& text);

/// Plants wanted a cell: a number, or a range as in 3-5.
std::optional<Wanted> wanted_of(const std::string& text);

/// Cells that the beds take: told, or worked out from the bed's measures.
std::optional<int> need_of(const AdviseArguments& typed);

/// Seeds, or seeds and price, as in 500 or 500:3.20.
Pack pack_of(const std::string& text);

}  // namespace braird::cli
