// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "calibration/census.h"

namespace braird::cli {

/// Where whole lines from a side of the tray on hold nothing (calibration/sown_part.h): which, and how to count the
/// rest by itself, since lines left unsown would pass for gaps; empty otherwise. `called`: what the sentence calls the
/// tray.
std::string unsown_remark(const Tray& tray, const std::string& called);

}  // namespace braird::cli
