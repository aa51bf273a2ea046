// SPDX-License-Identifier: Apache-2.0
// What should be said beside an advice: where its figures come from, and what they lean on.
#pragma once

#include <string>
#include <vector>

#include "calibration/grower_advice.h"

namespace braird {

struct LotEvidence;

/// Whole sentences about a report that is finished otherwise.
std::vector<std::string> remarks_on(const AdviceRequest& request, const AdviceReport& report,
                                    const LotEvidence& evidence);

/// Is much still to come, and the range of the forecast wider than its number, which then says nothing?
bool is_end_open(const AdviceReport& report);

/// What is asked of the lot, once the rest of the report is there.
LotQuestion question_of(const AdviceRequest& request, const AdviceReport& report);

}  // namespace braird
