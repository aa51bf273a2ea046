// SPDX-License-Identifier: Apache-2.0
#include "calibration/interval.h"

#include <algorithm>
#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <utility>

#include "calibration/require.h"

namespace braird {
namespace {

void check(double count, double n, double confidence) {
  require(n > 0 && std::isfinite(n), "n", n, "> 0");
  require(count >= 0 && count <= n, "count", count, "between 0 and n");
  require(confidence > 0 && confidence < 1, "confidence", confidence, "between 0 and 1");
}

double beta_quantile(double a, double b, double share) {
  return boost::math::quantile(boost::math::beta_distribution<>(a, b), share);
}

// P(X > count) + ½ P(X = count) for X ~ Binomial(n, p).
double upper_mid_tail(double count, double n, double p) {
  const double above = count >= n ? 0 : boost::math::ibeta(count + 1, n - count, p);
  const double at_least = count <= 0 ? 1 : boost::math::ibeta(count, n - count + 1, p);
  return (above + at_least) / 2;
}

void check_score(double count, double n, double z) {
  require(n > 0 && std::isfinite(n), "n", n, "> 0");
  require(count >= 0 && count <= n, "count", count, "between 0 and n");
  require(z > 0, "z", z, "> 0");
}

struct Doubt {
  double per_seed = 0;  // variance of the share is this times p (1 − p)
  double error = 0;
  double level = 0;                     // of the test, 1 − confidence
  double two_sided = 0, one_sided = 0;  // its normal quantiles
};

// How many standard errors below p must a share lie to refuse p, if errors can't take it above 1?
double errors_to_refuse(double p, const Doubt& doubt) {
  const boost::math::normal unit;
  const double past_the_end = cdf(unit, (p - 1) / doubt.error);
  if (past_the_end <= doubt.level / 2) return doubt.two_sided;
  return past_the_end >= doubt.level ? doubt.one_sided : quantile(complement(unit, past_the_end));
}

double upper_limit(double share, const Doubt& doubt) {
  auto excess = [&](double p) {
    const double variance = doubt.per_seed * p * (1 - p) + doubt.error * doubt.error;
    return p - share - errors_to_refuse(p, doubt) * std::sqrt(variance);
  };
  if (excess(1) <= 0) return 1;
  std::uintmax_t steps = 200;
  const auto bracket = boost::math::tools::toms748_solve(
      excess, share, 1.0, boost::math::tools::eps_tolerance<double>(50), steps);
  return (bracket.first + bracket.second) / 2;
}

double solve_mid_tail(double count, double n, double tail) {
  auto excess = [&](double p) { return upper_mid_tail(count, n, p) - tail; };
  std::uintmax_t steps = 200;
  const auto bracket = boost::math::tools::toms748_solve(
      excess, 0.0, 1.0, -tail, 1 - tail, boost::math::tools::eps_tolerance<double>(50), steps);
  return (bracket.first + bracket.second) / 2;
}

Interval square_join(const Estimate& first, const Estimate& second) {
  const double gap = first.estimate - second.estimate;
  return {gap - std::hypot(first.estimate - first.low, second.high - second.estimate),
          gap + std::hypot(first.high - first.estimate, second.estimate - second.low)};
}

Estimate with_limits(Share share, Interval limits) {
  return {share.count / share.n, limits.low, limits.high, ""};
}

}  // namespace

double normal_quantile_two_sided(double confidence) {
  require(confidence > 0 && confidence < 1, "confidence", confidence, "between 0 and 1");
  return boost::math::quantile(boost::math::normal(), (1 + confidence) / 2);
}

double t_quantile(double freedom, double confidence) {
  require(confidence > 0 && confidence < 1, "confidence", confidence, "between 0 and 1");
  return boost::math::quantile(boost::math::students_t(std::max(1.0, freedom)), (1 + confidence) / 2);
}

Interval wilson_for_z(double count, double n, double z) {
  check_score(count, n, z);
  const double p = count / n;
  const double centre = 2 * n * p + z * z;
  const double scale = 2 * (n + z * z);
  const double reach = z * std::sqrt(z * z + 4 * n * p * (1 - p));
  return {count <= 0 ? 0 : std::max(0.0, (centre - reach) / scale),
          count >= n ? 1 : std::min(1.0, (centre + reach) / scale)};
}

Interval wilson_with_error(double count, double n, double z, double error, double confidence) {
  check(count, n, confidence);
  require(error >= 0, "error", error, "≥ 0");
  if (error == 0) return wilson_for_z(count, n, z);
  check_score(count, n, z);
  const double two_sided = normal_quantile_two_sided(confidence), stretch = z / two_sided;
  const Doubt doubt{stretch * stretch / n, error, 1 - confidence, two_sided,
                    boost::math::quantile(boost::math::normal(), confidence)};
  return {1 - upper_limit(1 - count / n, doubt), upper_limit(count / n, doubt)};
}

Interval wilson(double count, double n, double confidence) {
  check(count, n, confidence);
  return wilson_for_z(count, n, normal_quantile_two_sided(confidence));
}

std::optional<Share> wilson_sample(Interval limits, double confidence) {
  require(limits.low >= 0, "lower limit", limits.low, "≥ 0");
  require(limits.high <= 1, "upper limit", limits.high, "≤ 1");
  require(limits.low < limits.high, "lower limit", limits.low, "below the upper one");
  // The limits solve (share − p)² = k p (1 − p) with k = z² / n; their sum and product give k.
  const double sum = limits.low + limits.high, product = limits.low * limits.high;
  const double square = (sum - 1) * (sum - 1), half = 2 * product - sum * (sum - 1),
               width = sum * sum - 4 * product;
  const double root = std::sqrt(std::max(0.0, half * half - square * width));
  if (half + root <= 0) return std::nullopt;
  const double k = width / (half + root), z = normal_quantile_two_sided(confidence);
  const double n = z * z / k;
  return Share{std::clamp((sum * (1 + k) - k) / 2, 0.0, 1.0) * n, n};
}

Interval wilson_cc(double count, double n, double confidence) {
  check(count, n, confidence);
  const double z = normal_quantile_two_sided(confidence);
  const double p = count / n, q = 1 - p;
  const double centre = 2 * n * p + z * z;
  const double scale = 2 * (n + z * z);
  // Below about one seed the square root's argument can fall under 0; the limit is then 0 or 1 anyway.
  const double down = z * std::sqrt(std::max(0.0, z * z - 2 - 1 / n + 4 * p * (n * q + 1)));
  const double up = z * std::sqrt(std::max(0.0, z * z + 2 - 1 / n + 4 * p * (n * q - 1)));
  return {count <= 0 ? 0 : std::max(0.0, (centre - 1 - down) / scale),
          count >= n ? 1 : std::min(1.0, (centre + 1 + up) / scale)};
}

Interval clopper_pearson(double count, double n, double confidence) {
  check(count, n, confidence);
  const double tail = (1 - confidence) / 2;
  return {count <= 0 ? 0 : beta_quantile(count, n - count + 1, tail),
          count >= n ? 1 : beta_quantile(count + 1, n - count, 1 - tail)};
}

Interval mid_p(double count, double n, double confidence) {
  check(count, n, confidence);
  const double tail = (1 - confidence) / 2;
  return {count <= 0 ? 0 : solve_mid_tail(count, n, tail),
          count >= n ? 1 : solve_mid_tail(count, n, 1 - tail)};
}

Interval jeffreys(double count, double n, double confidence) {
  check(count, n, confidence);
  const double tail = (1 - confidence) / 2;
  return {count <= 0 ? 0 : beta_quantile(count + 0.5, n - count + 0.5, tail),
          count >= n ? 1 : beta_quantile(count + 0.5, n - count + 0.5, 1 - tail)};
}

Interval agresti_coull(double count, double n, double confidence) {
  check(count, n, confidence);
  const double z = normal_quantile_two_sided(confidence);
  const double size = n + z * z;
  const double p = (count + z * z / 2) / size;
  const double reach = z * std::sqrt(p * (1 - p) / size);
  return {p - reach, p + reach};
}

Interval newcombe_difference(Share first, Share second, double confidence) {
  return square_join(with_limits(first, wilson(first.count, first.n, confidence)),
                     with_limits(second, wilson(second.count, second.n, confidence)));
}

Interval newcombe_difference_cc(Share first, Share second, double confidence) {
  return square_join(with_limits(first, wilson_cc(first.count, first.n, confidence)),
                     with_limits(second, wilson_cc(second.count, second.n, confidence)));
}

Estimate difference(const Estimate& first, const Estimate& second) {
  for (const Estimate& side : {first, second})
    require(side.low <= side.estimate && side.estimate <= side.high, "estimate", side.estimate,
            "inside its interval");
  const Interval limits = square_join(first, second);
  return {first.estimate - second.estimate, limits.low, limits.high, "squares of the two intervals' arms"};
}

}  // namespace braird
