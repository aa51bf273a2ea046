// SPDX-License-Identifier: Apache-2.0
// How surprising is a count whose mean and variance are known, but whose distribution has no closed form?
#pragma once

namespace braird {

struct Spread {
  double mean = 0;
  double variance = 0;
};

/// Chance of at least `count`: from the binomial (variance below the mean), Poisson (equal) or negative
/// binomial (above) that has these two moments; their sizes need not be whole. mean, variance ≥ 0.
double chance_of_at_least(double count, const Spread& spread);

/// The smallest whole number that is not exceeded with chance `share` in (0, 1); at most `most`.
double quantile_of(double share, const Spread& spread, double most);

}  // namespace braird
