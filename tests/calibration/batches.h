// SPDX-License-Identifier: Apache-2.0
// Made-up lots that are counted and then sown again: what the grower knows, and what each number of seeds a
// cell would truly cost.
#pragma once

#include "calibration/next_batch.h"
#include "tests/calibration/seasons.h"

namespace braird::test {

/// Each season has its own dice, so that a change in one leaves the others as they were.
inline Random season_of(int kind, int season) {
  return Random(static_cast<unsigned long>(1000000 * kind + season));
}

/// One to four trays counted when all was up.
inline LotEvidence finished_trays(const TrueLot& lot, Random& random) {
  LotEvidence evidence;
  evidence.sower = lot.sower;
  const int trays = one_of({1, 1, 1, 2, 3, 4}, random), cells = one_of({72, 104, 128, 264}, random);
  const int seeds = one_of({1, 2, 3, 4, 6}, random);
  for (int tray = 0; tray < trays; ++tray)
    evidence.trays.push_back(as_seen(drawn_tray(lot, cells, seeds, random), seeds));
  return evidence;
}

/// What a usable cell truly costs, for 1 … `most` seeds: each tray its own share, summed over a fine grid, by
/// the textbook formulas alone.
inline std::vector<double> true_costs(const TrueLot& lot, const BatchTerms& terms, std::size_t most) {
  std::vector<SeedDrop> drops;
  while (drops.size() < most) drops.push_back(drop_of(static_cast<int>(drops.size()) + 1, lot.sower));
  std::vector<double> usable(drops.size()), surplus(drops.size());
  double weights = 0;
  for (double z = -4; z <= 4; z += .25) {
    const double weight = std::exp(-z * z / 2);
    const double share = 1 / (1 + std::exp(-logit(lot.germination) - lot.spread * z));
    weights += weight;
    for (std::size_t n = 0; n < drops.back().chance.size(); ++n) {
      const auto chances = beta_binomial_chances(static_cast<int>(n), share, lot.rho);
      double full = 0, over = 0;
      for (int k = terms.wanted.low; k <= static_cast<int>(n); ++k) {
        full += chances[static_cast<std::size_t>(k)];
        over += chances[static_cast<std::size_t>(k)] * std::max(0, k - terms.wanted.high);
      }
      for (std::size_t at = 0; at < drops.size(); ++at) {
        if (n >= drops[at].chance.size()) continue;
        usable[at] += weight * drops[at].chance[n] * full;
        surplus[at] += weight * drops[at].chance[n] * over;
      }
    }
  }
  const double minute = terms.economy.hour_price / 60;
  std::vector<double> costs;
  for (std::size_t at = 0; at < drops.size(); ++at) {
    const double sown =
        mean_seeds(drops[at]) * terms.economy.seed_price +
        (terms.economy.tray_price + terms.economy.minutes_to_sow_tray * minute) / terms.cells_per_tray;
    costs.push_back((sown + surplus[at] / weights * terms.economy.minutes_to_thin_plant * minute) /
                    (usable[at] / weights));
  }
  return costs;
}

inline BatchTerms drawn_terms(const TrueLot& lot, Random& random) {
  BatchTerms terms;
  terms.economy = built_in_economy();
  terms.economy.seed_price = std::exp(between(std::log(.001), std::log(.2), random));
  terms.economy.tray_price = between(1, 25, random);
  terms.economy.hour_price = between(0, 30, random);
  terms.wanted.low = one_of({1, 1, 2, 3}, random);
  terms.wanted.high = terms.wanted.low + one_of({0, 1, 2, 5}, random);
  terms.cells_per_tray = one_of({72, 104, 128, 264}, random);
  terms.sower = lot.sower;
  return terms;
}

}  // namespace braird::test
