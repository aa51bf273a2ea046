// SPDX-License-Identifier: Apache-2.0
#include "calibration/rate_differences.h"

#include <algorithm>
#include <cmath>

#include "calibration/require.h"

namespace braird {
namespace {

constexpr int kHalvings = 60;  // brings [−1, 1] below a double's rounding

double rate_of(Share share) {
  return share.count / share.n;
}

// Variance of a rate, over `n` seeds.
double variance_of(Share share, double n) {
  return rate_of(share) * (1 - rate_of(share)) / n;
}

Interval around(double middle, double reach) {
  return {middle - reach, middle + reach};
}

// Newcombe's methods 3 and 4; `mean` is the mean of both rates.
Interval beal(Share first, Share second, double mean, double z) {
  const double gap = rate_of(first) - rate_of(second);
  const double u = (1 / first.n + 1 / second.n) / 4, v = (1 / first.n - 1 / second.n) / 4;
  const double tilt = 1 - 2 * mean, scale = 1 + z * z * u;
  const double square = u * (4 * mean * (1 - mean) - gap * gap) + 2 * v * tilt * gap +
                        4 * z * z * u * u * (1 - mean) * mean + z * z * v * v * tilt * tilt;
  return around((gap + z * z * v * tilt) / scale, z / scale * std::sqrt(std::max(0.0, square)));
}

// Where `falling` crosses 0 between low and high.
template <typename Function>
double crossing(double low, double high, Function falling) {
  for (int step = 0; step < kHalvings; ++step) {
    const double middle = (low + high) / 2;
    (falling(middle) > 0 ? low : high) = middle;
  }
  return (low + high) / 2;
}

// The likeliest second rate if the first is higher by exactly `gap`: the log-likelihood's slope falls.
double likeliest_second(Share first, Share second, double gap) {
  auto part = [](double count, double of) { return count > 0 ? count / of : 0; };
  return crossing(std::max(0.0, -gap), std::min(1.0, 1 - gap), [&](double p) {
    return part(first.count, p + gap) - part(first.n - first.count, 1 - p - gap) + part(second.count, p) -
           part(second.n - second.count, 1 - p);
  });
}

// All gaps that the score test does not refuse; `inflation` of the variance.
Interval score(Share first, Share second, double z, double inflation) {
  const double seen = rate_of(first) - rate_of(second);
  auto refuses = [&](double gap) {
    const double p2 = likeliest_second(first, second, gap), p1 = std::clamp(p2 + gap, 0.0, 1.0);
    const double variance = p1 * (1 - p1) / first.n + p2 * (1 - p2) / second.n;
    return (seen - gap) * (seen - gap) - z * z * inflation * variance;
  };
  return {crossing(-1, seen, refuses), crossing(seen, 1, [&](double gap) { return -refuses(gap); })};
}

Share with_pseudo(Share share, double each) {
  return {share.count + each, share.n + 2 * each};
}

Interval wald(Share first, Share second, double z, double correction = 0) {
  const double error = std::sqrt(variance_of(first, first.n) + variance_of(second, second.n));
  return around(rate_of(first) - rate_of(second), z * error + correction);
}

Interval hauck_anderson(Share first, Share second, double z) {
  require(std::min(first.n, second.n) > 1, "n", std::min(first.n, second.n), "> 1");
  const double error = std::sqrt(variance_of(first, first.n - 1) + variance_of(second, second.n - 1));
  return around(rate_of(first) - rate_of(second), z * error + 1 / (2 * std::min(first.n, second.n)));
}

}  // namespace

Interval rate_difference(Share first, Share second, DifferenceMethod method, double confidence) {
  for (const Share& side : {first, second}) {
    require(side.n > 0 && std::isfinite(side.n), "n", side.n, "> 0");
    require(side.count >= 0 && side.count <= side.n, "count", side.count, "between 0 and n");
  }
  const double z = normal_quantile_two_sided(confidence), all = first.n + second.n;
  switch (method) {
    case DifferenceMethod::wald:
      return wald(first, second, z);
    case DifferenceMethod::wald_cc:
      return wald(first, second, z, (1 / first.n + 1 / second.n) / 2);
    case DifferenceMethod::haldane:
      return beal(first, second, (rate_of(first) + rate_of(second)) / 2, z);
    case DifferenceMethod::jeffreys_perks:
      return beal(first, second, (rate_of(with_pseudo(first, .5)) + rate_of(with_pseudo(second, .5))) / 2, z);
    case DifferenceMethod::mee:
      return score(first, second, z, 1);
    case DifferenceMethod::miettinen_nurminen:
      return score(first, second, z, all / (all - 1));
    case DifferenceMethod::hauck_anderson:
      return hauck_anderson(first, second, z);
    case DifferenceMethod::agresti_caffo:
      break;
  }
  return wald(with_pseudo(first, 1), with_pseudo(second, 1), z);
}

}  // namespace braird
