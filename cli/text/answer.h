// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "calibration/census.h"
#include "cli/order.h"

namespace braird::cli {

/// The census of a photo in words: what was counted, how good the lot is, what to do.
std::string answer(const Census& census, const Order& order);

}  // namespace braird::cli
