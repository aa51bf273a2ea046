// SPDX-License-Identifier: Apache-2.0
// What the answers for seedlings and for seeds share.
#pragma once

#include <cstddef>
#include <string>

#include "calibration/census.h"
#include "calibration/interval.h"
#include "cli/order.h"

namespace braird::cli {

/// Photo, tray and what was told of it.
std::string heading(const Census& census, std::size_t number, const Order& order);

/// Cells by state, and how many were counted; `thing` in the singular.
std::string counts(const TraySummary& sum, const std::string& thing);

/// A rate, its interval, and what it was made `from`.
std::string rate_line(const char* what, const Estimate& rate, const std::string& from);

}  // namespace braird::cli
