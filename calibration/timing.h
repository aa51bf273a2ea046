// SPDX-License-Identifier: Apache-2.0
// When will what comes be up? The table of days to emergence is no clock: benches differ from the table, and
// lots from each other. So a handful of courses, each with a weight, stands for what is possible:
//
//   F(t) = 1 / (1 + (half_days / t)^steepness)
//
// half_days is log-normal around the table's days: ± 15 % where the temperature of the medium is told, else
// spread over 15 to 25 °C. Steepness is 5, 8, 12 or 18 (published series: 4.3 to 20.8, median 12,
// of wheat, rice and chickweed, Ritz, Pipper & Streibig 2013). The widths are a guess, no source. Counts on
// several days sharpen the weights.
#pragma once

#include <optional>
#include <vector>

#include "calibration/germination_times.h"
#include "calibration/profiles.h"

namespace braird {

struct Timing {
  double half_days = 0;  ///< until half of what comes is up; 0: all is up from the start
  double steepness = 8;
  double weight = 1;  ///< of a list they sum to 1

  double share_up(double day) const;  ///< 0..1; day ≥ 0
};

/// Courses around `days` > 0 with a log-normal doubt (standard deviation of ln days) > 0.
std::vector<Timing> timings_around(double days, double doubt);

/// Courses of a crop; empty where the table has no days for it (or not at this temperature).
std::vector<Timing> timings_of(const CropProfile& crop, std::optional<double> soil_c);

/// The weights once counts on several days are seen; `effect` ≥ 1 is the design effect of seeds that share a
/// cell. Without courses to begin with, wide ones around the middle of the counts are taken.
std::vector<Timing> weighed_by(std::vector<Timing> timings, const Inspections& seen, double effect);

/// The share of what comes that is up by `day` ≥ 0, averaged over the courses.
double share_up(const std::vector<Timing>& timings, double day);

/// The day by which `share` of what comes is up, averaged over the courses. timings not empty.
double day_when_up(const std::vector<Timing>& timings, double share);

/// The whole day by which 95 % of it is. timings not empty.
double day_when_nearly_all_up(const std::vector<Timing>& timings);

}  // namespace braird
