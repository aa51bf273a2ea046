// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>

#include "cli/commands/advise.h"
#include "cli/kept_advice.h"

namespace braird::cli {

/// What the ledger tells of the trays that `braird advise` is asked on where a lot is named and no file: those
/// sown on --sown, else last. Nothing with a file or without a lot, and where the pack's word is told of a lot of
/// which the ledger can say nothing. Throws std::invalid_argument with one sentence where neither speaks, or an
/// option tells what the ledger knows.
std::optional<LatestRequest> request_from_ledger(const AdviseArguments& typed, const CountsOrder& order);

}  // namespace braird::cli
