// SPDX-License-Identifier: Apache-2.0
// The two exact intervals that are shorter than Clopper and Pearson's: all rates that a two-sided exact test
// does not refuse. That test's p-value jumps, so its limits are walked to and then halved in on.
#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <cmath>

#include "calibration/interval.h"
#include "calibration/require.h"

namespace braird {
namespace {

constexpr int kSteps = 1000;         // of the walk over Clopper and Pearson's interval
constexpr int kHalvings = 45;        // of the step where the p-value passes the level
constexpr double kTies = 1 + 1e-10;  // chances this close are equal

using Binomial = boost::math::binomial;

double at_most(const Binomial& seeds, double count) {
  return count < 0 ? 0 : boost::math::cdf(seeds, count);
}

double at_least(const Binomial& seeds, double count) {
  return count <= 0 ? 1 : boost::math::cdf(boost::math::complement(seeds, count - 1));
}

// The smaller tail of what was seen, and as much of the other tail as is no larger.
double blaker_p(double count, double n, double p) {
  const Binomial seeds(n, p);
  const double below = at_most(seeds, count), above = at_least(seeds, count);
  const double tail = std::min(below, above);
  double other = 0;
  if (below < above) {
    for (double k = n; k > count && at_least(seeds, k) <= tail * kTies; --k) other = at_least(seeds, k);
  } else {
    for (double k = 0; k < count && at_most(seeds, k) <= tail * kTies; ++k) other = at_most(seeds, k);
  }
  return std::min(1.0, tail + other);
}

// All counts that are no likelier than what was seen.
double sterne_p(double count, double n, double p) {
  const Binomial seeds(n, p);
  const double seen = boost::math::pdf(seeds, count) * kTies;
  double sum = 0;
  const auto most = static_cast<long>(n);
  for (long k = 0; k <= most; ++k)
    if (const double chance = boost::math::pdf(seeds, k); chance <= seen) sum += chance;
  return sum;
}

// From `outside`, which is refused, towards `inside`, which is not: where acceptance begins.
template <typename Accepts>
double first_accepted(double outside, double inside, Accepts accepts) {
  double refused = outside, accepted = inside;
  for (int step = 1; step <= kSteps; ++step) {
    const double p = outside + (inside - outside) * step / kSteps;
    if (accepts(p)) {
      accepted = p;
      break;
    }
    refused = p;
  }
  for (int step = 0; step < kHalvings; ++step) {
    const double middle = (refused + accepted) / 2;
    (accepts(middle) ? accepted : refused) = middle;
  }
  return accepted;
}

// Rates whose p-value exceeds the level lie inside the bounds.
template <typename PValue>
Interval accepted_set(double count, double n, double confidence, Interval bounds, PValue p_value) {
  require(count == std::floor(count) && n == std::floor(n), "count or n", count, "whole");
  auto accepts = [&](double p) { return p_value(count, n, p) > 1 - confidence; };
  const double seen = count / n;
  return {count <= 0 ? 0 : first_accepted(bounds.low, seen, accepts),
          count >= n ? 1 : first_accepted(bounds.high, seen, accepts)};
}

}  // namespace

Interval blaker(double count, double n, double confidence) {
  return accepted_set(count, n, confidence, clopper_pearson(count, n, confidence), blaker_p);
}

Interval sterne(double count, double n, double confidence) {
  // Sterne's set may reach beyond Clopper and Pearson's, but not beyond twice its error.
  clopper_pearson(count, n, confidence);  // checks
  const Interval wide = clopper_pearson(count, n, (1 + confidence) / 2);
  return accepted_set(count, n, confidence, wide, sterne_p);
}

}  // namespace braird
