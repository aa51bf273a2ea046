// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>

#include "calibration/grower_advice.h"
#include "cli/text/cautions.h"

namespace braird::cli {

/// The advice for a person: at most 30 lines of 111 columns; no less on a narrower terminal.
std::string advise_text(const AdviceReport& report, const SeedKind& seed, std::size_t columns = 0);

}  // namespace braird::cli
