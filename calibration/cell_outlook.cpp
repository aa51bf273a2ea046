// SPDX-License-Identifier: Apache-2.0
#include "calibration/cell_outlook.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "calibration/require.h"

namespace braird {
namespace {

using Chances = std::vector<double>;

// Products base · (base + θ) · (base + 2θ) …, the empty product first.
Chances rising_products(double base, double theta, std::size_t factors) {
  Chances products{1};
  for (std::size_t r = 0; r < factors; ++r)
    products.push_back(products.back() * (base + static_cast<double>(r) * theta));
  return products;
}

// Binomial chances of 0 … n; Pascal's rule would be slower, and n stays small.
Chances binomial(std::size_t n, double share) {
  Chances chances{1};
  for (std::size_t draw = 0; draw < n; ++draw) {
    chances.push_back(0);
    for (std::size_t k = draw + 1; k > 0; --k) chances[k] = chances[k] * (1 - share) + chances[k - 1] * share;
    chances[0] *= 1 - share;
  }
  return chances;
}

}  // namespace

Chances seedling_chances(const SeedDrop& drop, double mean, double rho) {
  require(!drop.chance.empty(), "length of the seed drop", drop.chance.size(), "> 0");
  require(mean >= 0 && mean <= 1, "mean", mean, "between 0 and 1");
  require(rho >= 0 && rho < 1, "rho", rho, "at least 0 and below 1");
  const std::size_t most = drop.chance.size() - 1;
  const double theta = rho / (1 - rho);
  const Chances up = rising_products(mean, theta, most), down = rising_products(1 - mean, theta, most),
                all = rising_products(1, theta, most);
  Chances chances(most + 1);
  for (std::size_t n = 0; n <= most; ++n) {
    if (drop.chance[n] <= 0) continue;
    double choose = drop.chance[n] / all[n];
    for (std::size_t k = 0; k <= n; ++k) {
      chances[k] += choose * up[k] * down[n - k];
      choose *= static_cast<double>(n - k) / static_cast<double>(k + 1);
    }
  }
  return chances;
}

Chances seedling_chances(const CellDrop& drop, double mean, double rho) {
  const Chances once = seedling_chances(drop.together, mean, rho);
  Chances chances = once;
  for (int more = 1; more < drop.times; ++more) chances = chances_of_sum(chances, once);
  for (double& chance : chances) chance *= 1 - drop.missed;
  chances[0] += drop.missed;
  return chances;
}

std::vector<Chances> thinning(std::size_t most, double up) {
  require(up >= 0 && up <= 1, "share up", up, "between 0 and 1");
  std::vector<Chances> rows;
  for (std::size_t n = 0; n <= most; ++n) rows.push_back(binomial(n, up));
  return rows;
}

Chances chances_given(const Chances& final_chances, int seen, const Step& step) {
  require(seen >= 0, "seedlings", seen, "≥ 0");
  require(step.up >= 0 && step.up <= step.up_then && step.up_then <= 1, "share up then", step.up_then,
          "at least that of now, and at most 1");
  const auto k = static_cast<std::size_t>(seen);
  Chances later(std::max(final_chances.size(), k + 1));
  const double coming = step.up < 1 ? (step.up_then - step.up) / (1 - step.up) : 0;
  double sum = 0;
  for (std::size_t n = k; n < final_chances.size(); ++n) {
    const double weight = final_chances[n] * binomial(n, step.up)[k];
    if (weight <= 0) continue;
    sum += weight;
    const Chances more = binomial(n - k, coming);
    for (std::size_t m = 0; m < more.size(); ++m) later[k + m] += weight * more[m];
  }
  if (sum <= 0) {
    later[k] = 1;
    return later;
  }
  for (double& chance : later) chance /= sum;
  return later;
}

double chance_of_low(const Chances& chances, int low) {
  const auto from = std::min(static_cast<std::size_t>(std::max(low, 0)), chances.size());
  return std::accumulate(chances.begin() + static_cast<std::ptrdiff_t>(from), chances.end(), 0.0);
}

double mean_of(const Chances& chances) {
  double mean = 0;
  for (std::size_t k = 0; k < chances.size(); ++k) mean += static_cast<double>(k) * chances[k];
  return mean;
}

}  // namespace braird
