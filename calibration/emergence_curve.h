// SPDX-License-Identifier: Apache-2.0
// The likelihood behind emergence_fit.h and the climb to its peak. Three parameters without bounds: logit d,
// ln(−b), ln e. Derivatives are exact (Boost's automatic differentiation), so that the errors have all their
// digits.
#pragma once

#include <optional>
#include <vector>

#include "calibration/germination_times.h"
#include "calibration/small_matrix.h"

namespace braird {

/// An interval in which seeds came up.
struct Rise {
  double from = 0, to = 0;  ///< from may be 0
  double many = 0;
};

struct RiseData {
  std::vector<Rise> risen;
  double last = 0;    ///< time of the last inspection
  double not_up = 0;  ///< seeds not up by then
};

/// The series as intervals, times in its own unit; intervals without seedlings are left out. `seen` must be
/// sound (check(Inspections)).
RiseData rise_data(const Inspections& seen);

using CurveParameters = Vector<3>;
enum { kFinal, kSteepness, kHalfTime };

/// 1 / (1 + exp(−logit)), without loss in the tails.
double share_of(double logit);

/// Multinomial over the intervals and the seeds not up, coefficients left out; −∞ where an interval that
/// holds seedlings has no chance.
double log_likelihood(const RiseData& data, const CurveParameters& at);

/// Is the final share fitted, or held where it is?
enum class FinalShare { free, held };

/// Climbs from `at` to the nearest peak.
CurveParameters climb(const RiseData& data, CurveParameters at, FinalShare final_share);

struct FittedCurve {
  CurveParameters at{};
  FinalShare final_share = FinalShare::free;  ///< held at 1 where every seed came up or the curve runs away
};

/// The best curve. Needs two intervals with seedlings.
FittedCurve fitted_curve(const RiseData& data);

/// Variances of the three parameters from the observed information; that of a held one means nothing. Nothing
/// where the data can't hold the parameters apart.
std::optional<Vector<3>> curve_variances(const RiseData& data, const FittedCurve& curve);

/// A final share that differs from 1 by less than a double can tell, as a logit.
inline constexpr double kAll = 36;

}  // namespace braird
