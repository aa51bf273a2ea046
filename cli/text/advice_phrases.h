// SPDX-License-Identifier: Apache-2.0
// What advice says in whole phrases, wherever it stands: terminal, JSON or page.
#pragma once

#include <string>

#include "calibration/grower_advice.h"

namespace braird::cli {

/// "0.009 EUR".
std::string money(double amount, const Economy& economy);

/// What a choice means, in a few words that name its numbers.
std::string choice_words(const TrayOption& option, const TrayOptions& stand);

/// How many seeds a cell the next trays get, and why.
std::string next_time_words(const AdviceReport& report);

/// Why no number of seeds is named, where `batch.too_poor`.
std::string too_poor_words(const AdviceReport& report);

/// Why the first choice is first.
std::string reason(const StandAdvice& stand, const Economy& economy);

/// Where the wanted number of full cells comes from; empty if the grower told it.
std::string where_wanted_from(const AdviceReport& report);

/// Why the next batch gets so many seeds a cell.
std::string batch_reason(const AdviceReport& report);

}  // namespace braird::cli
