// SPDX-License-Identifier: Apache-2.0
// What the rates and their intervals are drawn from: sums over cells, or over whole trays, and how far these
// lie apart.
#pragma once

#include <span>
#include <vector>

#include "calibration/cells.h"

namespace braird {

/// Sums over units (cells or whole trays) that yield `seedlings` out of `seeds`.
struct RateSample {
  double units = 0;
  double seeds = 0;
  double seedlings = 0;
  double most_seeds = 0;
  double seeds_squared = 0;  ///< Σ seeds²
  double overfull = 0;       ///< units with more seedlings than seeds, and chances of others being so
  double failing = 0;        ///< units in which a seed failed
  double bearing = 0;        ///< units with a seedling
  double between = 0;        ///< Σ (seedlings − rate · seeds)²
  double off = 0;            ///< Σ of the mean errors that cells own up to
  double rate() const { return seedlings / seeds; }
};

/// All cells of a tray, or of several. Throws std::invalid_argument for negative numbers, or without sown
/// cells.
RateSample rate_sample(std::span<const CellReading> cells);
RateSample rate_sample(std::span<const std::vector<CellReading>> trays);

/// Variance of the rate with units as drawn (Cochran 1977, Sampling Techniques, §6.3); 0 for a single unit.
double sampled_variance(const RateSample& of);

/// The same if each seed were alone.
double binomial_variance(const RateSample& of);

/// How many times more does the rate vary than independent seeds would make it? From 1 (each seed alone) to
/// the most seeds of a unit (all of them sharing one fate).
double design_effect(const RateSample& of);

/// Do more cells hold more seedlings than seeds than slips explain, so that seeds are clusters?
bool per_cluster(const RateSample& of);

}  // namespace braird
