// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "calibration/grower_advice.h"
#include "cli/commands/advise.h"

namespace braird::cli {

/// What was typed for `braird advise`, understood, with the counts read. Throws std::invalid_argument or
/// std::runtime_error with one sentence that names the option or the file.
AdviceRequest advice_request(const AdviseArguments& arguments);

}  // namespace braird::cli
