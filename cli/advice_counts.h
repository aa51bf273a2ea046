// SPDX-License-Identifier: Apache-2.0
// Of the counts that `braird advise` is given: which trays are asked about, and what came up before?
#pragma once

#include <optional>
#include <vector>

#include "calibration/lot.h"
#include "cli/commands/advise.h"

namespace braird::cli {

struct AdviceCounts {
  std::optional<Lot> lot;      ///< its latest sowing; nothing without files
  std::vector<Lot> earlier;    ///< the same lot's sowings before that, each count once
  std::vector<Census> giving;  ///< of the photos those trays that give the lot's rates
};

AdviceCounts advice_counts(const AdviseArguments& typed, const CountsOrder& order);

}  // namespace braird::cli
