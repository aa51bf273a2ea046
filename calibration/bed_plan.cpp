// SPDX-License-Identifier: Apache-2.0
#include "calibration/bed_plan.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>

#include "calibration/cell_outlook.h"
#include "calibration/require.h"
#include "calibration/spread.h"

namespace braird {
namespace {

constexpr double kMostCells = 1e7;

// The share of full cells in a tray, over trays of one way the lot may be.
struct FullShare {
  double weight = 0, mean = 0, variance = 0;
};

std::vector<FullShare> full_shares(std::span<const LotChance> lot, const SowingTerms& terms) {
  require(!lot.empty(), "number of ways the lot may be", lot.size(), "> 0");
  require(terms.low >= 1, "fewest plants wanted", terms.low, "≥ 1");
  require(terms.cells_per_tray >= 1, "cells per tray", terms.cells_per_tray, "≥ 1");
  const CellDrop drop = cell_drop(terms.seeds_per_cell, terms.sower);
  std::vector<FullShare> shares;
  for (const LotChance& chance : lot) {
    FullShare full{chance.weight, 0, 0};
    double square = 0;
    for (const auto& [weight, share] : shares_around(logit(chance.mean), chance.spread)) {
      const double of_cell = chance_of_low(seedling_chances(drop, share, chance.rho), terms.low);
      full.mean += weight * of_cell;
      square += weight * of_cell * of_cell;
    }
    full.mean = std::clamp(full.mean, 0., 1.);
    full.variance = std::max(0., square - full.mean * full.mean);
    shares.push_back(full);
  }
  return shares;
}

// Of a count whose cells are full with chance `mean`, shared within trays.
double variance_of(const FullShare& full, double cells, double per_tray) {
  const double whole = std::floor(cells / per_tray), rest = cells - whole * per_tray;
  const double pairs = whole * per_tray * (per_tray - 1) + rest * std::max(0., rest - 1);
  return cells * full.mean * (1 - full.mean) + pairs * full.variance;
}

// The rarer of full and not full is counted: its spread leans the way that the moments' distributions do.
double chance_of_enough(const std::vector<FullShare>& shares, double cells, double need, double per_tray) {
  if (need > cells) return 0;
  double chance = 0;
  for (const FullShare& full : shares) {
    const double variance = variance_of(full, cells, per_tray), mean = cells * full.mean;
    chance +=
        full.weight * (full.mean < .5 ? chance_of_at_least(need, {mean, variance})
                                      : 1 - chance_of_at_least(cells - need + 1, {cells - mean, variance}));
  }
  return std::min(1., chance);
}

int fewest_cells(const std::vector<FullShare>& shares, int need, int per_tray, double assurance) {
  double low = need - 1, high = need;
  auto enough = [&](double cells) { return chance_of_enough(shares, cells, need, per_tray) >= assurance; };
  while (!enough(high)) {
    low = high;
    high = std::ceil(high * 1.5 + 1);
    if (high > std::min(kMostCells, 100. * need))
      throw std::runtime_error(
          "the lot may be so poor that no sensible number of cells fills the bed with this assurance; test "
          "it, "
          "or take another lot");
  }
  while (high - low > 1) {
    const double middle = std::floor((low + high) / 2);
    (enough(middle) ? high : low) = middle;
  }
  return static_cast<int>(high);
}

// Least over all sizes of what comes after taking one more pack.
struct Best {
  double price = std::numeric_limits<double>::infinity();
  int pack = -1;
};

}  // namespace

int cells_of(const BedPlan& plan) {
  require(plan.beds > 0, "number of beds", plan.beds, "> 0");
  require(plan.rows > 0, "rows of the bed", plan.rows, "> 0");
  require(plan.length_m > 0, "length of the bed in m", plan.length_m, "> 0");
  require(plan.spacing_cm > 0, "spacing in cm", plan.spacing_cm, "> 0");
  require(plan.every > 0, "holes from cell to cell", plan.every, "> 0");
  const double in_row = std::floor(100 * plan.length_m / true_spacing_cm(plan) + 1e-9);
  const double cells = plan.beds * static_cast<double>(plan.rows) * in_row;
  require(cells >= 1 && cells <= kMostCells, "cells of the bed", cells, "from 1 to ten million");
  return static_cast<int>(cells);
}

double true_spacing_cm(const BedPlan& plan) {
  return plan.spacing_cm * plan.every;
}

double chance_of_enough(std::span<const LotChance> lot, const SowingTerms& terms, int cells, int need) {
  return chance_of_enough(full_shares(lot, terms), cells, need, terms.cells_per_tray);
}

SowingPlan plan_sowing(std::span<const LotChance> lot, const SowingTerms& terms, int need, double assurance) {
  require(need >= 1, "full cells needed", need, "≥ 1");
  require(assurance > 0 && assurance < 1, "assurance", assurance, "between 0 and 1");
  const auto shares = full_shares(lot, terms);
  const double per_tray = terms.cells_per_tray;
  SowingPlan plan;
  plan.need = need;
  plan.assurance = assurance;
  plan.bed_trays = need / per_tray;
  plan.cells = fewest_cells(shares, need, terms.cells_per_tray, assurance);
  plan.trays = static_cast<int>(std::ceil(plan.cells / per_tray));
  plan.chance = chance_of_enough(shares, plan.cells, need, per_tray);
  plan.chance_of_trays = chance_of_enough(shares, plan.trays * per_tray, need, per_tray);
  const double seeds = seeds_used(terms.seeds_per_cell, terms.sower);
  plan.seeds = std::ceil(plan.cells * seeds - 1e-9);
  plan.seeds_per_tray = per_tray * seeds;
  return plan;
}

SeedOrder order_of(double seeds, std::span<const Pack> packs) {
  if (packs.empty()) return {};
  require(seeds > 0, "seeds", seeds, "> 0");
  require(packs.size() <= kMostPackSizes, "number of pack sizes", packs.size(), "at most 12");
  long long divisor = 0;  // the greatest common one
  double largest = 0;
  bool priced = true;
  for (const Pack& pack : packs) {
    require(pack.seeds >= 1 && pack.seeds <= 1e9, "seeds in a pack", pack.seeds,
            "from 1 to a thousand million");
    require(pack.price >= 0, "price of a pack", pack.price, "≥ 0");
    divisor = std::gcd(divisor, static_cast<long long>(pack.seeds));
    largest = std::max(largest, pack.seeds);
    priced = priced && pack.price > 0;
  }
  // So fine a unit that every whole number of it would be too much work: round up.
  const double unit = std::max(static_cast<double>(divisor), std::ceil((seeds + largest) / 200000));
  auto units = [&](const Pack& pack) {
    return static_cast<std::size_t>(std::max(1., std::floor(pack.seeds / unit)));
  };
  const auto wanted = static_cast<std::size_t>(std::ceil(seeds / unit));
  // A pack counts as its seeds where no price is known; its own small price then keeps packs few.
  auto price = [&](const Pack& pack) { return priced ? pack.price : pack.seeds + 1e-3; };
  std::vector<Best> best(wanted + 1);
  best[0].price = 0;
  for (std::size_t have = 1; have <= wanted; ++have)
    for (std::size_t p = 0; p < packs.size(); ++p) {
      const std::size_t before = have > units(packs[p]) ? have - units(packs[p]) : 0;
      const double total = best[before].price + price(packs[p]);
      if (total < best[have].price) best[have] = {total, static_cast<int>(p)};
    }
  SeedOrder order{std::vector<int>(packs.size()), 0, 0};
  for (std::size_t have = wanted; have > 0;) {
    const auto p = static_cast<std::size_t>(best[have].pack);
    ++order.packs[p];
    order.seeds += packs[p].seeds;
    if (priced) order.price += packs[p].price;
    have = have > units(packs[p]) ? have - units(packs[p]) : 0;
  }
  return order;
}

}  // namespace braird
