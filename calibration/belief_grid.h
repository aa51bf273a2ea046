// SPDX-License-Identifier: Apache-2.0
// The grids that a belief is summed over (belief.h), and the sowings that are weighed on them. Inside of
// belief.cpp.
#pragma once

#include <array>
#include <vector>

#include "calibration/belief.h"

namespace braird::belief_grid {

using Row = std::vector<double>;

// Points of the priors with their weights: density times the width that the point stands for.
inline constexpr std::array<std::array<double, 2>, 7> kRhos = {
    {{0, .157}, {.02, .283}, {.05, .274}, {.1, .194}, {.18, .079}, {.3, .0126}, {.5, .0004}}};
inline constexpr std::array<std::array<double, 2>, 4> kSpreads = {
    {{0, .30}, {.09, .36}, {.18, .26}, {.3, .08}}};

// A sowing whose chance can be told for any germination.
struct Witness {
  const SeenTray* tray = nullptr;  // or totals:
  PastSowing past;
  CellDrop drop;
  double seedlings = 0, seeds = 0;

  double worth = 1;  // of a tray's cell, against one counted by hand

  double crude_logit() const;
  double error() const;  // of that
};

/// The trays, then the earlier sowings. Throws std::invalid_argument for numbers out of range.
std::vector<Witness> witnesses_of(const LotEvidence& evidence);

// Row i: chances that a tray's logit is at each point when the lot's is at point i; from the first point that
// is within reach on.
struct KernelRow {
  std::size_t first = 0;
  Row chances;
};

struct Grid {
  std::vector<double> logits;
  Row prior;  // of the lot, at each point
  std::array<std::vector<KernelRow>, kSpreads.size()> kernels;
};

Grid grid_for(const std::vector<Witness>& witnesses, bool may_still_come);

/// [point][seedlings]: what a tray's cells hold in the end; nothing for a sowing of which only totals are
/// known.
std::vector<Row> finals_of(const Witness& witness, const Grid& grid, double rho);

/// ln of the chance of what was seen, at each point, where a share `up` of what comes is up.
Row log_chances(const Witness& witness, const std::vector<Row>& finals, const Grid& grid, double rho,
                double up);

/// The same chances at each point of the lot, where its trays differ as the kernel says.
Row smeared(const Row& own, const std::vector<KernelRow>& kernel);

/// The same chances where now and then a sowing, or the pack's word, has nothing to do with the lot as it is:
/// one that the others contradict fades.
Row apart_at_times(Row of_lot, const Grid& grid);

}  // namespace braird::belief_grid
