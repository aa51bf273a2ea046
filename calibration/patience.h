// SPDX-License-Identifier: Apache-2.0
// Is it too early to judge this lot?
//
// It is before the crop's telling day (advice.h), for which the advice waits, too; and afterwards, as on a
// cold bench, while under 90 % of what will come is up, by the courses that its counts leave likely
// (belief.h).
#pragma once

#include <optional>
#include <string>

#include "calibration/lot.h"
#include "calibration/profiles.h"

namespace braird {

struct Patience {
  bool too_early = false;
  double up_by_now = 0;  ///< of the seedlings that will come in the end, the share that is up, 0..1
  double judge_on = 0;   ///< if too early, the day after sowing on which to look again
  std::string sentence;
};

/// Nothing where the day of the last count is not known, or nothing tells when the crop is up. `temperature` of
/// the medium, °C, if it is known.
std::optional<Patience> patience_with(const Lot& lot, const CropProfile& crop,
                                      std::optional<double> temperature);

}  // namespace braird
