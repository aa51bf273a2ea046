// SPDX-License-Identifier: Apache-2.0
// Is it too early to judge this tray?
//
// From the crop and the temperature of the medium: the tables of days to emergence (Harrington & Minges 1954)
// say when the bulk of the seedlings is up. Around that day they are taken to come up along a log-logistic
// curve with a steepness of 8: F(t) = 1 / (1 + (days / t)^8). Evidence for the 8: published series have 4.3
// to 20.8, median 12 (wheat, rice and chickweed, Ritz, Pipper & Streibig 2013); a lower value waits longer.
#pragma once

#include <string>

namespace braird {

struct Waiting {
  std::string crop;
  double medium_c = 0;           ///< temperature of the medium, °C
  double days_to_emergence = 0;  ///< of this crop at that temperature, > 0
  double days_since_sowing = 0;  ///< ≥ 0
};

struct Patience {
  bool too_early = false;
  double up_by_now = 0;  ///< of the seedlings that will come in the end, the share usually up by now, 0..1
  double judge_on = 0;   ///< the day after sowing by which 95 % of them usually are up
  std::string sentence;
};

/// Too early where less than 90 % of what will come is usually up. Throws std::invalid_argument unless
/// days_to_emergence > 0 and days_since_sowing ≥ 0.
Patience too_early_to_judge(const Waiting& waiting);

}  // namespace braird
