// SPDX-License-Identifier: Apache-2.0
// How many cells fill a bed, how many trays is that, and how many seeds?
#pragma once

#include <span>
#include <vector>

#include "calibration/belief.h"

namespace braird {

/// Beds of `rows` rows over a length, a cell every `spacing_cm`, or in every second (third …) hole.
struct BedPlan {
  int beds = 1;
  int rows = 1;
  double length_m = 0;
  double spacing_cm = 0;
  int every = 1;  ///< 2: every second hole is left out, which doubles the spacing
};

/// Along a row, whole cells only. Throws std::invalid_argument with one sentence for numbers not above 0.
int cells_of(const BedPlan& plan);

/// From cell to cell in the row, cm.
double true_spacing_cm(const BedPlan& plan);

/// A sowing that fills the bed with the stated assurance.
struct SowingPlan {
  int need = 0;          ///< full cells for the bed
  double bed_trays = 0;  ///< trays that so many cells take, in part trays
  int cells = 0;         ///< to sow: the fewest that leave enough full with the assurance
  int trays = 0;         ///< the same as whole trays
  double seeds = 0;      ///< for those cells, as the sower drops them
  double seeds_per_tray = 0;
  double assurance = 0;        ///< asked for
  double chance = 0;           ///< that the cells leave enough full ones, at least the assurance
  double chance_of_trays = 0;  ///< that the whole trays do
};

/// What is sown, and when a cell counts as full.
struct SowingTerms {
  int seeds_per_cell = 1;
  int low = 1;  ///< fewest plants of a full cell
  int cells_per_tray = 128;
  Sower sower;
};

/// The chance that `cells` sown cells give `need` full ones. Cells of one tray share the tray's germination,
/// trays the lot's: the count of full cells of each way the lot may be is taken by its first two moments
/// (spread.h), then averaged.
double chance_of_enough(std::span<const LotChance> lot, const SowingTerms& terms, int cells, int need);

/// Throws std::invalid_argument unless need ≥ 1 and 0 < assurance < 1, and std::runtime_error with one
/// sentence where even a hundred times the need would not do.
SowingPlan plan_sowing(std::span<const LotChance> lot, const SowingTerms& terms, int need, double assurance);

struct Pack {
  double seeds = 0, price = 0;  ///< price 0: not known
};

struct SeedOrder {
  std::vector<int> packs;       ///< how many of each, in the order given
  double seeds = 0, price = 0;  ///< price 0: not known
};

inline constexpr std::size_t kMostPackSizes = 12;

/// The cheapest choice of packs that holds enough, or, where a price is missing, the one with the least left
/// over and then the fewest packs. At most kMostPackSizes, each of 1 to a thousand million seeds. Empty for no
/// packs.
SeedOrder order_of(double seeds, std::span<const Pack> packs);

}  // namespace braird
