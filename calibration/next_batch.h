// SPDX-License-Identifier: Apache-2.0
// How many seeds should go into each cell of the next trays?
//
// For each number of seeds the chances of 0, 1, 2 … seedlings are averaged over all that may be true of the
// lot (belief.h), with the sower's own faults (sower.h). With independent seeds and no doubt this is
// (1 − p)^n and the binomial; doubt and shared fate leave more cells empty and more overfull.
//
// What a usable cell costs: its seeds, its share of the tray and of the sowing time, and thinning out what
// stands above the wanted range, divided by the chance that it holds the fewest wanted plants or more.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "calibration/belief.h"
#include "calibration/economy.h"
#include "calibration/limits.h"

namespace braird {

/// Plants wanted in a cell, 1 ≤ low ≤ high.
struct Wanted {
  int low = 1, high = 1;
};

/// Of `seeds` usually sown a cell: one plant for one seed; else from 60 % of the seeds to one more than sown
/// (onion: sow 5, plan for 4, take 3 to 6). Common practice, no source.
Wanted usually_wanted(int seeds);

struct BatchRow {
  int seeds_per_cell = 0;
  double empty = 0;   ///< chance of no plant
  double below = 0;   ///< chance of fewer plants than wanted, no plant included
  double within = 0;  ///< chance of a wanted number
  double above = 0;   ///< chance of too many to leave unthinned; below + within + above = 1
  double plants = 0;  ///< expected
  double seeds = 0;   ///< that the sower drops, on average
  double cost = 0;    ///< of a usable cell, money; infinite where none is usable
};

/// What the next trays are sown for and with.
struct BatchTerms {
  Wanted wanted;
  Sower sower;
  int cells_per_tray = 128;
  Economy economy;
};

inline constexpr int kFewestRows = 12;

/// The most that is worth sowing into a cell: a dozen, or four for each of the fewest plants wanted (a guess,
/// no source: more of poor seed is a heap of dead seed).
int most_worth_sowing(const Wanted& wanted);

/// The chances for one number of seeds, 1 … kMostSeedsPerCell. `lot` not empty. Throws std::invalid_argument.
BatchRow batch_row(std::span<const LotChance> lot, int seeds_per_cell, const BatchTerms& terms);

enum class ChosenBy { cost, gap_limit };

struct BatchAdvice {
  std::vector<BatchRow> rows;    ///< for 1 … kFewestRows seeds, and on until the gap limit is plainly kept
                                 ///< or no more is worth sowing
  int chosen = 1;                ///< seeds a cell
  int second = 2;                ///< the next best: the next cheapest, or the cheaper neighbour
  double second_costs_more = 0;  ///< per usable cell, money (may be negative if chosen by gap limit)
  int chosen_if_poor = 1, chosen_if_good = 1;  ///< at the low and high end of the germination
  bool too_poor = false;                       ///< nothing is worth sowing: take another lot
  ChosenBy by = ChosenBy::gap_limit;
};

/// Do so few come up, under 40 %, that not even the most worth sowing keeps the gap limit?
bool is_too_poor(std::span<const LotChance> lot, const BatchTerms& terms);

/// By least cost, or the fewest seeds that keep `below` within the gap limit, cells that the sower misses
/// aside, or come within a fifth of it (a guess, no source) of the best that any number does; of poor seed
/// the most where none keeps it. `germination` is the lot's range.
BatchAdvice advise_batch(std::span<const LotChance> lot, const Estimate& germination, const BatchTerms& terms,
                         ChosenBy by);

/// The chosen row and those next to it, five in all.
std::span<const BatchRow> rows_around_chosen(const BatchAdvice& advice);

}  // namespace braird
