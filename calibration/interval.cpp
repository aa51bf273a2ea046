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

Interval wilson_for_z(double count, double n, double z, double error) {
  require(n > 0 && std::isfinite(n), "n", n, "> 0");
  require(count >= 0 && count <= n, "count", count, "between 0 and n");
  require(z > 0, "z", z, "> 0");
  require(error >= 0, "error", error, "≥ 0");
  const double p = count / n;
  const double centre = 2 * n * p + z * z;
  const double scale = 2 * (n + z * z);
  const double reach = std::sqrt(z * z * (z * z + 4 * n * p * (1 - p)) + 2 * scale * n * error * error);
  return {count <= 0 ? 0 : std::max(0.0, (centre - reach) / scale),
          count >= n ? 1 : std::min(1.0, (centre + reach) / scale)};
}

Interval wilson(double count, double n, double confidence) {
  check(count, n, confidence);
  return wilson_for_z(count, n, normal_quantile_two_sided(confidence));
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
