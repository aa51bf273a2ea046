// SPDX-License-Identifier: Apache-2.0
#include "calibration/emergence_fit.h"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>

#include "calibration/emergence_curve.h"
#include "calibration/require.h"
#include "calibration/timing.h"

namespace braird {
namespace {

constexpr double kMostlyRisen = 0.90;

EmergenceFit described(const RiseData& data, const FittedCurve& fit, const Vector<3>& variances) {
  EmergenceFit result;
  result.final_share = share_of(fit.at[kFinal]);
  result.steepness = -std::exp(fit.at[kSteepness]);
  result.half_time = std::exp(fit.at[kHalfTime]);
  result.steepness_error = -result.steepness * std::sqrt(variances[kSteepness]);
  result.half_time_error = result.half_time * std::sqrt(variances[kHalfTime]);
  if (fit.final_share == FinalShare::free)
    result.final_share_error = result.final_share * (1 - result.final_share) * std::sqrt(variances[kFinal]);
  else
    result.final_share = 1;
  result.log_likelihood = log_likelihood(data, fit.at);
  result.settled = fit.final_share == FinalShare::free || data.not_up == 0;
  return result;
}

// By how much the best curve with this final share falls short of the limit; its root is an end of the
// interval.
struct Shortfall {
  const RiseData& data;
  CurveParameters near;
  double limit;

  double operator()(double logit) const {
    CurveParameters at = near;
    at[kFinal] = logit;
    return log_likelihood(data, climb(data, at, FinalShare::held)) - limit;
  }
};

// The end of the interval between the best logit and `far`; `far` itself if the likelihood never falls that
// low.
double end_towards(double far, const Shortfall& shortfall) {
  const double best = shortfall.near[kFinal];
  const double at_far = shortfall(far), at_best = shortfall(best);
  if (at_far >= 0) return far;
  std::uintmax_t steps = 60;
  const auto ends = boost::math::tools::toms748_solve(
      shortfall, std::min(far, best), std::max(far, best), far < best ? at_far : at_best,
      far < best ? at_best : at_far, boost::math::tools::eps_tolerance<double>(30), steps);
  return (ends.first + ends.second) / 2;
}

// Times in which a log-logistic curve is a logistic one of the plain times.
RiseData in_even_time(RiseData data) {
  const double unit = data.last / 3;  // of no consequence: the steepness takes it up
  for (Rise& rise : data.risen) {
    rise.from = rise.from > 0 ? std::exp(rise.from / unit) : 0;
    rise.to = std::exp(rise.to / unit);
  }
  data.last = std::exp(data.last / unit);
  return data;
}

struct Curve {
  RiseData data;
  std::string name;
  FittedCurve fit = fitted_curve(data);
  double best = log_likelihood(data, fit.at);

  Curve(RiseData of, std::string called) : data(std::move(of)), name(std::move(called)) {}
};

// Had the bulk come only when the last was seen to come, would nearly all be up by now?
bool has_ended(const RiseData& data) {
  return !data.risen.empty() && Timing{data.risen.back().to}.share_up(data.last) >= kMostlyRisen;
}

Estimate no_curve(const Inspections& seen, const RiseData& data, double design_effect, double confidence) {
  const double up = seen.came_up.back();
  const Interval so_far = wilson(up / design_effect, seen.sown / design_effect, confidence);
  if (has_ended(data)) return {up / seen.sown, so_far.low, so_far.high, "up; none came since"};
  return {up / seen.sown, so_far.low, 1, "so far up; no curve can be fitted"};
}

}  // namespace

double EmergenceFit::share_at(double time) const {
  require(time >= 0, "time", time, "≥ 0");
  return time > 0 ? final_share * share_of(-steepness * (std::log(time) - std::log(half_time))) : 0;
}

std::optional<EmergenceFit> fit_emergence(const Inspections& seen) {
  check(seen);
  const RiseData data = rise_data(seen);
  if (data.risen.size() < 2) return std::nullopt;
  const FittedCurve fit = fitted_curve(data);
  const auto variances = curve_variances(data, fit);
  if (!variances) return std::nullopt;
  return described(data, fit, *variances);
}

Estimate forecast_final_rate(const Inspections& seen, double design_effect, double confidence) {
  check(seen);
  require(design_effect >= 1, "design effect", design_effect, "≥ 1");
  const double z = normal_quantile_two_sided(confidence);
  const RiseData data = rise_data(seen);
  if (data.risen.size() < 2) return no_curve(seen, data, design_effect, confidence);
  const Curve skewed(data, "log-logistic"), even(in_even_time(data), "logistic");
  const Curve& best = even.best > skewed.best ? even : skewed;
  const double limit = best.best - z * z * design_effect / 2;
  Estimate end{share_of(best.fit.at[kFinal]), 1, 0, best.name + " curve, likelihood interval"};
  for (const Curve* curve : {&skewed, &even}) {
    if (curve->best < limit) continue;
    const Shortfall shortfall{curve->data, curve->fit.at, limit};
    const bool climbs = curve->fit.final_share == FinalShare::held;
    end.low = std::min(end.low, share_of(end_towards(-kAll, shortfall)));
    end.high = std::max(end.high, climbs ? 1 : share_of(end_towards(kAll, shortfall)));
  }
  return end;
}

}  // namespace braird
