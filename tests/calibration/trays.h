// SPDX-License-Identifier: Apache-2.0
// Small trays built from their answer.
#pragma once

#include <cmath>
#include <cstddef>
#include <random>
#include <vector>

#include "calibration/cells.h"
#include "calibration/census.h"
#include "calibration/overdispersion.h"

namespace braird::test {

/// 100 cells, the first `gaps` of them empty, the others with `each` seedlings from `seeds` seeds.
inline Tray tray_with(int gaps, int each, int seeds) {
  Tray tray;
  tray.layout = {10, 10, LatticeKind::square};
  tray.fit = 1;
  tray.seeds_per_cell = seeds;
  for (int i = 0; i < 100; ++i) tray.cells.push_back({i / 10, i % 10, {}, i < gaps ? 0 : each, {}, false});
  return tray;
}

/// cells_with[k] cells of `seeds` seeds that hold k seedlings.
inline std::vector<CellCount> tray_of(const std::vector<int>& cells_with, int seeds) {
  std::vector<CellCount> tray;
  for (int k = 0; k < static_cast<int>(cells_with.size()); ++k)
    tray.insert(tray.end(), static_cast<std::size_t>(cells_with[static_cast<std::size_t>(k)]),
                CellCount{k, seeds});
  return tray;
}

inline std::vector<CellCount> joined(std::vector<CellCount> first, const std::vector<CellCount>& second) {
  first.insert(first.end(), second.begin(), second.end());
  return first;
}

/// A number drawn with these chances.
template <typename Random>
int drawn(const std::vector<double>& chances, Random& random) {
  double left = std::uniform_real_distribution<>()(random);
  int at = 0;
  while (at + 1 < static_cast<int>(chances.size()) && (left -= chances[static_cast<std::size_t>(at)]) > 0)
    ++at;
  return at;
}

/// Chances of 0 … seeds seedlings in a cell, seeds ≥ 0: the likelihood of each number.
inline std::vector<double> beta_binomial_chances(int seeds, double mean, double rho) {
  if (seeds == 0) return {1};
  std::vector<double> chances;
  for (int up = 0; up <= seeds; ++up) {
    const CellCount cell{up, seeds};
    chances.push_back(std::exp(beta_binomial_log_likelihood({&cell, 1}, mean, rho)));
  }
  return chances;
}

/// A tray of `cells` cells with `seeds` seeds each, germination `mean`, correlation `rho` within cells.
template <typename Random>
std::vector<CellCount> grown_tray(int cells, int seeds, double mean, double rho, Random& random) {
  const auto chances = beta_binomial_chances(seeds, mean, rho);
  std::vector<CellCount> tray;
  for (int cell = 0; cell < cells; ++cell) tray.push_back({drawn(chances, random), seeds});
  return tray;
}

}  // namespace braird::test
