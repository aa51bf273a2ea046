// SPDX-License-Identifier: Apache-2.0
// A photo counter that errs like the one measured (calibration/counter_doubt.h), for simulations.
#pragma once

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "calibration/cells.h"
#include "calibration/counter_doubt.h"

namespace braird::test {

// A counter like the one measured (counter_doubt.h): what it owns up to, `off` seedlings a seed, differs from
// photo to photo, and so does the net error over a tray, which is `off` times a draw with the tails that were
// seen (t with 3 degrees of freedom, 95 % within 1.96 κ). On top come slips that cancel.
struct Counter {
  double miss = 0, ghost = 0;  // chance to overlook a seedling, and to see one where a seed failed
  double off = 0;
};

inline double share_up(const std::vector<CellCount>& tray) {
  double up = 0, sown = 0;
  for (const CellCount& cell : tray) up += cell.seedlings, sown += cell.seeds;
  return up / sown;
}

template <typename Random>
Counter any_counter(const std::vector<CellCount>& tray, Random& random) {
  const double least = std::log(.03), most = std::log(.3);  // a tenth of the measured trays lies beyond each
  Counter counter;
  counter.off = std::exp(std::uniform_real_distribution<>(least, most)(random));
  const double tails = 1.96 / 3.182 * std::student_t_distribution<>(3)(random);
  const double net = kKappa * counter.off * tails, up = share_up(tray);
  counter.miss = std::min(1., counter.off / 4 * (1 - up) + (net < 0 ? -net / up : 0));
  counter.ghost = std::min(1., counter.off / 4 * up + (net > 0 ? net / (1 - up) : 0));
  return counter;
}

template <typename Random>
int seen_by(const Counter& counter, const CellCount& cell, Random& random) {
  auto some = [&](int of, double chance) { return std::binomial_distribution<>(of, chance)(random); };
  return cell.seedlings - some(cell.seedlings, counter.miss) +
         some(cell.seeds - cell.seedlings, counter.ghost);
}

// Chances that are highest at `seen`, the rest even, so that the mean error is `off` a seed.
inline std::vector<double> chances_around(int seen, int seeds, double off) {
  double even_error = 0;
  for (int k = 0; k <= seeds; ++k) even_error += std::abs(k - seen) / (seeds + 1.);
  const double even = std::min(.95, off * seeds / even_error);
  std::vector<double> chances(static_cast<std::size_t>(seeds) + 1, even / (seeds + 1));
  chances[static_cast<std::size_t>(seen)] += 1 - even;
  return chances;
}

template <typename Random>
Tray read_by(const Counter& counter, const std::vector<CellCount>& cells, Random& random) {
  Tray tray;
  for (const CellCount& truth : cells) {
    Cell cell;
    cell.count = seen_by(counter, truth, random);
    cell.probability = chances_around(cell.count, truth.seeds, counter.off);
    tray.cells.push_back(cell);
  }
  return tray;
}

// A cell as what the gap rate is about: full or empty, which the counter was measured on by itself, and errs
// in by κ times what it owns up to there.
inline std::vector<CellCount> as_states(std::vector<CellCount> tray) {
  for (CellCount& cell : tray) cell = {cell.seedlings > 0, 1};
  return tray;
}

}  // namespace braird::test
