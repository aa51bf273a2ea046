// SPDX-License-Identifier: Apache-2.0
// How many seedlings will a cell hold, before anything is seen of it, and once some are up?
//
// Seeds of a cell share a fate with correlation ρ (beta-binomial, overdispersion.h), those of seed clusters
// only within each; their number is that of the sower's drop. On a day when each seed that will come is up
// with chance g, a cell that shows k seedlings may still hold more: P(final | k) ∝ P(final) · Binomial(k;
// final, g).
#pragma once

#include <vector>

#include "calibration/cells.h"
#include "calibration/sower.h"

namespace braird {

/// Chances of 0, 1, 2 … seedlings in the end. mean in [0, 1], rho in [0, 1).
std::vector<double> seedling_chances(const SeedDrop& drop, double mean, double rho);
std::vector<double> seedling_chances(const CellDrop& drop, double mean, double rho);

/// [n][k]: the chance that k of n are up while each is up with chance `up` in [0, 1]; n = 0 … most.
std::vector<std::vector<double>> thinning(std::size_t most, double up);

/// From a day with `up` to a later one with `up_then` ≥ `up`.
struct Step {
  double up = 1;
  double up_then = 1;
};

/// Chances of 0, 1, 2 … seedlings at the later day, for a cell that shows `seen` now. A cell that shows more
/// than the drop allows stays as it is.
std::vector<double> chances_given(const std::vector<double>& final_chances, int seen, const Step& step);

/// The share of cells with `low` seedlings or more.
double chance_of_low(const std::vector<double>& chances, int low);

/// Seedlings a cell, on average.
double mean_of(const std::vector<double>& chances);

}  // namespace braird
