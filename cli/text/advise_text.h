// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "calibration/grower_advice.h"
#include "cli/text/cautions.h"

namespace braird::cli {

/// The advice for a person: at most 30 lines.
std::string advise_text(const AdviceReport& report, const SeedKind& seed);

}  // namespace braird::cli
