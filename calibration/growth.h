// SPDX-License-Identifier: Apache-2.0
// How will the counted trays go on until a later day? One answer for each way the stand may be.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "calibration/belief.h"
#include "calibration/spread.h"

namespace braird {

/// The counted trays, as in the evidence of the belief, and what makes a cell full.
struct CountedStand {
  std::span<const SeenTray> trays;
  const Sower& sower;
  int low = 1;                ///< fewest seedlings of a full cell
  std::optional<double> day;  ///< of the count, since sowing; nothing: all that comes is up
};

struct Growth {
  double weight = 0;     ///< all sum to 1
  Spread full;           ///< cells with `low` seedlings or more
  Spread newcomers;      ///< seedlings that come until then
  double gap_fills = 0;  ///< chance that a cell empty now is full then
};

/// From the day of the count to the day `then`; without `then`, to the end. Throws std::invalid_argument if
/// `then` is before the count.
std::vector<Growth> growth_of(const Belief& belief, const CountedStand& counted, std::optional<double> then);

/// The chance of at least `count` out of `cells` (for newcomers: infinitely many), whichever way it is.
double chance_of_full(std::span<const Growth> growths, double count, double cells);
double chance_of_newcomers(std::span<const Growth> growths, double count);

}  // namespace braird
