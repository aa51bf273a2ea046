// SPDX-License-Identifier: Apache-2.0
// Made-up seasons with a known truth: a lot is drawn, trays are sown and counted, and what comes next is
// drawn too, so that advice can be held against what happened.
#pragma once

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "calibration/belief.h"
#include "calibration/cell_outlook.h"
#include "tests/calibration/trays.h"

namespace braird::test {

/// The truth of a lot, and the bench it stands on.
struct TrueLot {
  double germination = 0, rho = 0, spread = 0;
  Sower sower;
};

using Random = std::mt19937_64;

inline double between(double low, double high, Random& random) {
  return std::uniform_real_distribution<>(low, high)(random);
}

inline int one_of(std::initializer_list<int> choices, Random& random) {
  return choices.begin()[std::uniform_int_distribution<std::size_t>(0, choices.size() - 1)(random)];
}

/// Germination anywhere in 0.5 … 0.98; shared fate and tray spread as seldom large as the priors say.
inline TrueLot drawn_lot(Random& random) {
  TrueLot lot;
  lot.germination = between(.5, .98, random);
  lot.rho = std::min(.4, std::exponential_distribution<>(1 / .06)(random));
  lot.spread = std::abs(std::normal_distribution<>(0, .12)(random));
  if (between(0, 1, random) < .5) lot.sower = {0, between(0, .03, random), between(0, .05, random)};
  return lot;
}

/// This tray's own germination.
inline double drawn_share(const TrueLot& lot, Random& random) {
  return 1 / (1 + std::exp(-logit(lot.germination) - lot.spread * std::normal_distribution<>()(random)));
}

/// The seedlings of a tray's cells in the end.
inline std::vector<int> drawn_tray(const TrueLot& lot, int cells, int seeds, Random& random) {
  const auto chances = seedling_chances(drop_of(seeds, lot.sower), drawn_share(lot, random), lot.rho);
  std::discrete_distribution<int> cell(chances.begin(), chances.end());
  std::vector<int> seedlings;
  for (int at = 0; at < cells; ++at) seedlings.push_back(cell(random));
  return seedlings;
}

/// Of these, the ones up while each is up with chance `up`.
inline std::vector<int> seen_of(std::vector<int> seedlings, double up, Random& random) {
  for (int& count : seedlings) count = std::binomial_distribution<>(count, up)(random);
  return seedlings;
}

inline SeenTray as_seen(const std::vector<int>& seedlings, int seeds) {
  SeenTray tray{seeds, std::vector<double>(static_cast<std::size_t>(seeds) + 1)};
  for (const int count : seedlings) {
    const auto k = static_cast<std::size_t>(count);
    if (tray.cells_with.size() <= k) tray.cells_with.resize(k + 1);
    ++tray.cells_with[k];
  }
  return tray;
}

inline int cells_with_at_least(int low, const std::vector<int>& seedlings) {
  return static_cast<int>(
      std::count_if(seedlings.begin(), seedlings.end(), [&](int count) { return count >= low; }));
}

}  // namespace braird::test
