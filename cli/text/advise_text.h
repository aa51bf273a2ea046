// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "calibration/grower_advice.h"
#include "cli/text/cautions.h"

namespace braird::cli {

/// The advice for a person: at most 30 lines.
std::string advise_text(const AdviceReport& report, const SeedKind& seed);

/// What a choice means, in a few words that name its numbers.
std::string choice_words(const TrayOption& option, const TrayOptions& stand);

/// How many seeds a cell the next trays get, and why.
std::string next_time_words(const AdviceReport& report);

/// Why no number of seeds is named, where `batch.too_poor`.
std::string too_poor_words(const AdviceReport& report);

/// Why the first choice is first.
std::string reason(const StandAdvice& stand, const Economy& economy);

}  // namespace braird::cli
