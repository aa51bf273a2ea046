// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <span>
#include <string>

#include "calibration/census.h"
#include "cli/order.h"

namespace braird::cli {

/// A tray of a census of seeds, in words: what lies in the cells, how the sower did, which cells to mend now.
std::string seeds_answer(const Census& census, std::size_t number, const Order& order);

/// Holes of the sower that failed in tray after tray; empty if none did.
std::string holes_answer(std::span<const Tray> trays);

}  // namespace braird::cli
