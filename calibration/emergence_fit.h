// SPDX-License-Identifier: Apache-2.0
// How many will come up in the end, and when is half of that reached?
//
// A seed found at an inspection came up at some time since the one before, and a seed not found may still
// come: the counts are interval-censored. The share up at time t is modelled as
//
//   F(t) = d / (1 + exp(b (ln t − ln e)))       d final share, e time to half of d, b < 0 steepness
//
// and fitted by maximum likelihood (multinomial over the intervals, coefficients left out), with standard
// errors from the observed information. Least squares on cumulated counts would claim far smaller errors than
// the data hold. Ritz, Pipper & Streibig 2013, Eur J Agron 45:1-6; Onofri, Mesgaran & Ritz 2022, Weed Sci 70.
#pragma once

#include <optional>
#include <string>

#include "calibration/germination_times.h"
#include "calibration/interval.h"

namespace braird {

struct EmergenceFit {
  double final_share = 0, final_share_error = 0;  ///< d in (0, 1]; error 0 where every seed came up
  double steepness = 0, steepness_error = 0;      ///< b < 0
  double half_time = 0, half_time_error = 0;      ///< e, in the unit of the inspections
  double log_likelihood = 0;
  bool settled = true;  ///< false: the curve still climbs, so that the final share is unknown (d runs to 1)

  /// The share of the sown seeds that is up at `time` ≥ 0.
  double share_at(double time) const;
};

/// The fit, or nothing where the counts can't hold three numbers apart: seeds came up in fewer than two
/// intervals. Throws std::invalid_argument like check(Inspections).
std::optional<EmergenceFit> fit_emergence(const Inspections& seen);

/// What share of such seeds will be up in the end? The likelihood interval of d: all final shares whose best
/// curve is not clearly less likely than the best of all (Venzon & Moolgavkar 1988, Appl Stat 37:87-94), be
/// it log-logistic or a logistic curve, whose upper half isn't drawn out: which of them it is often shows
/// only in the end, and one alone claims too much. (Normal times of 400 seeds, counted until 0.98 of those
/// that come are up: the nominal 95 % held in 46 % with the first alone, 66 with both; two days later in 95.)
/// `design_effect` ≥ 1 widens it for seeds that share a cell. Where no curve can be fitted, the interval
/// reaches from the low end of what is up (Wilson) to 1; to the high end of it where all came at once and
/// nothing since, for so long that nearly all would be up had they come as late as that.
Estimate forecast_final_rate(const Inspections& seen, double design_effect = 1, double confidence = 0.95);

}  // namespace braird
