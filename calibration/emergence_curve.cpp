// SPDX-License-Identifier: Apache-2.0
#include "calibration/emergence_curve.h"

#include <algorithm>
#include <boost/math/differentiation/autodiff.hpp>
#include <cmath>

namespace braird {
namespace {

constexpr double kStillClimbing = 9;  // logit of a final share of 0.99988: d runs away to 1
constexpr int kMostTries = 16;        // with no damping, then 0.001 to 10¹¹, ten times as much each time

// ln of 1 / (1 + exp(−u)).
template <typename Number>
Number log_sigmoid(const Number& u) {
  using std::exp, std::log;
  if (u < 0) return u - log(1 + exp(u));
  return -log(1 + exp(-u));
}

// The chance to come up between two times is S(u1) − S(u0) = S(u1) S(−u0) (1 − exp(u0 − u1)): no digits are
// lost in the tails.
template <typename D, typename S, typename E>
auto curve_likelihood(const RiseData& data, const D& log_d, const D& log_rest_share, const S& steep,
                      const E& log_e) {
  using std::exp, std::log;
  auto rise = [&](double time) { return exp(steep) * (std::log(time) - log_e); };
  auto sum = 0 * log_d + 0 * steep + 0 * log_e;
  for (const Rise& step : data.risen) {
    const auto to = rise(step.to);
    sum += step.many * (log_d + log_sigmoid(to));
    if (step.from <= 0) continue;
    const auto from = rise(step.from);
    sum += step.many * (log_sigmoid(-from) + log(1 - exp(from - to)));
  }
  if (data.not_up > 0) {
    // 1 − d S(u) = (1 − d) + d S(−u)
    const auto late = rise(data.last);
    sum += data.not_up * log(exp(log_rest_share) + exp(log_d + log_sigmoid(-late)));
  }
  return sum;
}

struct Slopes {
  double value = 0;
  Vector<3> slope{};
  Matrix<3> information{};  // second derivatives, sign turned
};

Slopes slopes_at(const RiseData& data, const CurveParameters& at) {
  using namespace boost::math::differentiation;
  const auto [logit, steep, log_e] = make_ftuple<double, 2, 2, 2>(at[kFinal], at[kSteepness], at[kHalfTime]);
  const auto value = curve_likelihood(data, log_sigmoid(logit), log_sigmoid(-logit), steep, log_e);
  auto second = [&](int i, int j, int k) { return -value.derivative(i, j, k); };
  Slopes slopes;
  slopes.value = value.derivative(0, 0, 0);
  slopes.slope = {value.derivative(1, 0, 0), value.derivative(0, 1, 0), value.derivative(0, 0, 1)};
  slopes.information = {{{second(2, 0, 0), second(1, 1, 0), second(1, 0, 1)},
                         {second(1, 1, 0), second(0, 2, 0), second(0, 1, 1)},
                         {second(1, 0, 1), second(0, 1, 1), second(0, 0, 2)}}};
  return slopes;
}

// A held parameter is one that the likelihood does not move.
Slopes with_held(Slopes slopes, FinalShare final_share) {
  if (final_share == FinalShare::free) return slopes;
  slopes.slope[kFinal] = 0;
  slopes.information[kFinal] = {1, 0, 0};
  slopes.information[kSteepness][kFinal] = slopes.information[kHalfTime][kFinal] = 0;
  return slopes;
}

// Newton's step with as much damping as it takes to climb (Levenberg 1944); nothing if no step climbs.
std::optional<CurveParameters> step_up(const RiseData& data, const CurveParameters& from,
                                       const Slopes& slopes) {
  double damping = 0;
  for (int tries = 0; tries < kMostTries; ++tries, damping = std::max(1e-3, damping * 10)) {
    Matrix<3> damped = slopes.information;
    for (std::size_t k = 0; k < 3; ++k) damped[k][k] += damping * (1 + std::abs(damped[k][k]));
    const auto step = solved(damped, slopes.slope);
    if (!step) continue;
    CurveParameters to = from;
    double longest = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      to[k] += (*step)[k];
      longest = std::max(longest, std::abs((*step)[k]));
    }
    if (longest < 2 && log_likelihood(data, to) >= slopes.value) return to;
  }
  return std::nullopt;
}

// From the indices: the spread of ln t under a log-logistic is π / (√3 |b|).
CurveParameters guess(const RiseData& data) {
  double many = 0, mean = 0, square = 0;
  for (const Rise& rise : data.risen) {
    const double middle = std::log((rise.from > 0 ? rise.from + rise.to : rise.to * 1.5) / 2);
    many += rise.many;
    mean += rise.many * middle;
    square += rise.many * middle * middle;
  }
  mean /= many;
  const double deviation = std::sqrt(std::max(1e-4, square / many - mean * mean));
  const double share = std::clamp(many / (many + data.not_up), 0.001, 0.999);
  return {std::log(share / (1 - share)), std::log(M_PI / std::sqrt(3) / deviation), mean};
}

}  // namespace

RiseData rise_data(const Inspections& seen) {
  RiseData data;
  double time = 0, count = 0;
  for (std::size_t at = 0; at < seen.times.size(); ++at) {
    if (seen.came_up[at] > count) data.risen.push_back({time, seen.times[at], seen.came_up[at] - count});
    time = seen.times[at];
    count = seen.came_up[at];
  }
  data.last = time;
  data.not_up = seen.sown - count;
  return data;
}

double share_of(double logit) {
  return std::exp(log_sigmoid(logit));
}

double log_likelihood(const RiseData& data, const CurveParameters& at) {
  return curve_likelihood(data, log_sigmoid(at[kFinal]), log_sigmoid(-at[kFinal]), at[kSteepness],
                          at[kHalfTime]);
}

CurveParameters climb(const RiseData& data, CurveParameters at, FinalShare final_share) {
  for (int round = 0; round < 200; ++round) {
    const auto next = step_up(data, at, with_held(slopes_at(data, at), final_share));
    if (!next || next == at) break;
    double moved = 0;
    for (std::size_t k = 0; k < 3; ++k) moved = std::max(moved, std::abs((*next)[k] - at[k]));
    at = *next;
    if (moved < 1e-10 || at[kFinal] > kStillClimbing) break;
  }
  return at;
}

FittedCurve fitted_curve(const RiseData& data) {
  FittedCurve best{guess(data)};
  if (data.not_up > 0) {
    best.at = climb(data, best.at, FinalShare::free);
    if (best.at[kFinal] <= kStillClimbing) return best;
  }
  best.at[kFinal] = kAll;
  best.final_share = FinalShare::held;
  best.at = climb(data, best.at, FinalShare::held);
  return best;
}

std::optional<Vector<3>> curve_variances(const RiseData& data, const FittedCurve& curve) {
  return inverse_diagonal(with_held(slopes_at(data, curve.at), curve.final_share).information);
}

}  // namespace braird
