// SPDX-License-Identifier: Apache-2.0
#include "calibration/missed_cells.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

#include "calibration/overdispersion.h"

namespace braird {
namespace {

struct AlikeCells {
  double cells = 0, empty = 0;
};

struct Seen {
  std::map<int, AlikeCells> by_seeds;
  double cells = 0, seedlings = 0, seeds = 0;
};

Seen tally(std::span<const CellCount> cells) {
  Seen seen;
  for (const CellCount& cell : cells) {
    if (cell.seeds == 0) continue;
    AlikeCells& alike = seen.by_seeds[cell.seeds];
    ++alike.cells;
    alike.empty += cell.seedlings == 0;
    ++seen.cells;
    seen.seedlings += cell.seedlings;
    seen.seeds += cell.seeds;
  }
  return seen;
}

struct Guess {
  double missed = 0, germination = 0;
};

// Which share of the empty cells was missed, under the guess; then the guess that fits those.
Guess improve(const Seen& seen, Guess old) {
  double missed = 0, seeds = 0;
  for (const auto& [n, alike] : seen.by_seeds) {
    const double failed = (1 - old.missed) * std::pow(1 - old.germination, n);
    const double unsown = alike.empty > 0 ? alike.empty * old.missed / (old.missed + failed) : 0;
    missed += unsown;
    seeds += n * (alike.cells - unsown);
  }
  return {missed / seen.cells, std::min(1.0, seen.seedlings / seeds)};  // sums may round beyond 1
}

Guess settle(const Seen& seen) {
  Guess guess{0.1, seen.seedlings / seen.seeds};
  for (int step = 0; step < 20000; ++step) {
    const Guess next = improve(seen, guess);
    const bool settled =
        std::abs(next.missed - guess.missed) + std::abs(next.germination - guess.germination) < 1e-13;
    guess = next;
    if (settled) break;
  }
  return guess;
}

// Filled cells are binomial; empty ones were missed, or failed whole.
double log_likelihood(std::span<const CellCount> cells, const Seen& seen, Guess at) {
  std::vector<CellCount> filled;
  for (const CellCount& cell : cells)
    if (cell.seedlings > 0) filled.push_back(cell);
  double sum = beta_binomial_log_likelihood(filled, at.germination, 0);
  for (const auto& [n, alike] : seen.by_seeds) {
    if (alike.empty > 0)
      sum += alike.empty * std::log(at.missed + (1 - at.missed) * std::pow(1 - at.germination, n));
    sum += (alike.cells - alike.empty) * std::log1p(-at.missed);
  }
  return sum;
}

}  // namespace

MissedCellsFit fit_missed_cells(std::span<const CellCount> cells) {
  const Seen seen = tally(cells);
  const double plain = fit_beta_binomial(cells).binomial_log_likelihood;  // refuses nonsense
  MissedCellsFit fit;
  fit.germination = seen.seedlings / seen.seeds;
  fit.log_likelihood = plain;
  const bool can_tell = seen.by_seeds.rbegin()->first > 1 && seen.seedlings > 0;
  if (!can_tell) return fit;
  const Guess guess = settle(seen);
  const double with_missed = log_likelihood(cells, seen, guess);
  if (guess.missed < 1e-6 || with_missed <= plain) return fit;
  fit.missed = guess.missed;
  fit.germination = guess.germination;
  fit.log_likelihood = with_missed;
  fit.excess = 2 * (with_missed - plain);
  fit.p_value = std::erfc(std::sqrt(fit.excess / 2)) / 2;
  return fit;
}

}  // namespace braird
