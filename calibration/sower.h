// SPDX-License-Identifier: Apache-2.0
// How many seeds does a sower that was set to n really drop into a cell?
//
// Three faults, each its own: a cell is missed whole; a single seed is skipped (the nozzle was empty); a
// single seed comes as a pair. Seeds of a cell are skipped or doubled one by one.
#pragma once

#include <span>
#include <vector>

#include "calibration/cells.h"

namespace braird {

/// Shares, each 0..1; skips + doubles ≤ 1, missed < 1.
struct Sower {
  double missed = 0;      ///< of the cells
  double skips = 0;       ///< of the seeds
  double doubles = 0;     ///< of the seeds; of clusters those that can give two seedlings
  bool clusters = false;  ///< a seed is a cluster: seedlings of one share a fate, those of two don't
};

/// Chances of 0, 1, 2 … for the sum of two numbers with such chances.
std::vector<double> chances_of_sum(std::span<const double> one, std::span<const double> other);

/// Throws std::invalid_argument with one sentence for shares out of range.
void check(const Sower& sower);

/// The drop of a sower set to `seeds` ≥ 1 a cell.
SeedDrop drop_of(int seeds, const Sower& sower);

/// The same, and what of it shares a fate: all seeds of a cell, or those of each cluster.
struct CellDrop {
  SeedDrop all;
  SeedDrop together;
  int times = 1;      ///< how often `together` falls into a cell, each with a fate of its own
  double missed = 0;  ///< of the cells, beside that
};
CellDrop cell_drop(int seeds, const Sower& sower);

/// Seeds, or seed clusters, that one cell takes, on average.
double seeds_used(int seeds, const Sower& sower);

/// Seedlings that one seed can give, on average: 1, or more of a cluster.
double most_of_a_seed(const Sower& sower);

}  // namespace braird
