// SPDX-License-Identifier: Apache-2.0
// What are a lot's rates once some of its cells were counted by hand?
//
// A cell counted by hand holds what the person saw. Each other cell holds, on average, what the cells drawn
// at random that the counter read alike turned out to hold (Tenenbein 1972, Technometrics 14:187-202), one
// more of each count being taken to have been read rightly; of cells with other numbers of seeds nothing is
// learnt. `advise` takes the same numbers (seen_trays.h). What the checked cells hold beyond that, on
// average, is added, so that few cells of many counts don't leave the error half corrected. The rate and its
// interval are then those of any trays (pooled_germination_rate in rates.h), but that what is left of the
// counter's doubt takes the place of its own.
//
// Left are P V / (P + V), as a variance: what is known before (P) and what the checks say (V), joined by
// their weights. P is the photo's own doubt (counter_doubt.h), squared, and the square of twice what the
// checks moved: a counter caught out is trusted less. V is the spread of the checked cells' errors, one
// miscounted seedling more than was seen (half the seeds of a cell, where that is more), in as many cells,
// and that of the others, with Student's t. Over trays with checks of their own, what is left of P adds up,
// since photos of a lot err alike; what is left of V, drawn anew in each, adds up in squares. It follows that
//
// - checks that agree move nothing and widen nothing, however few,
// - the counter's doubt weighs by the share of cells not counted by hand, and is gone once all were,
// - checks from elsewhere, which the ledger gathers over photos and seasons, correct likewise, but leave at
//   least the photo's own doubt: another photo errs its own way. So each tray of a lot is told of by its own
//   checks; where they are fewer than eight, by those of all such trays together. With nothing from elsewhere
//   a tray without any keeps its count, since a lot's few photos may err alike by chance, and its doubt grows
//   with what was found in the lot's others.
//
// How often it holds: coverage.md. Checks can't make good a photo that is sure of what it misreads where they
// happen to agree with it.
#pragma once

#include <cstddef>
#include <map>
#include <span>
#include <utility>
#include <vector>

#include "calibration/interval.h"
#include "calibration/lot.h"

namespace braird {

constexpr std::size_t kFewestChecks = 8;  ///< for a correction; common practice, no source

/// A cell of which both is known: how the counter read it, and what a person found.
struct CheckedReading {
  CellReading reading;
  double seedlings = 0;  ///< no more than could come of the seeds
  std::size_t tray = 0;  ///< of CheckedTrays::own: in which of the trays
};

/// Trays that a person counted in part.
struct CheckedTrays {
  std::vector<std::vector<CellReading>> trays;  ///< with the person's counts (CellReading::by_hand)
  std::vector<CheckedReading> own;              ///< cells of these trays, drawn at random
  std::vector<CheckedReading> elsewhere;        ///< of others, for where there are too few of their own
};

/// [tray] = which checks tell of it: trays of one number share theirs. A tray with eight or more checked
/// cells has a number to itself, those with fewer have one together, and those with none another.
std::vector<std::size_t> told_together(const std::vector<std::size_t>& checked_cells);

/// The rates of trays of several kinds, each kind read by the counter in its own way and corrected by its own
/// checks. Trays of a kind with too few are taken as they were counted.
Estimate checked_germination_rate(std::span<const CheckedTrays> kinds);
Estimate checked_gap_rate(std::span<const CheckedTrays> kinds);

inline Estimate checked_germination_rate(const CheckedTrays& of) {
  return checked_germination_rate(std::span(&of, 1));
}
inline Estimate checked_gap_rate(const CheckedTrays& of) {
  return checked_gap_rate(std::span(&of, 1));
}

/// Checked cells by tray and cell, each with the last word on it.
using CheckedByPlace = std::map<std::pair<std::size_t, std::size_t>, int>;
CheckedByPlace counted_by_hand(const Lot& lot);

/// Puts the checked cells into the readings, as no draw.
void settle_checks(Lot& lot);

/// The lot's trays with its checked cells as drawn at random.
CheckedTrays checked_trays(const Lot& lot);

/// The lot's rates, with its checked cells.
Estimate checked_germination_rate(const Lot& lot);
Estimate checked_gap_rate(const Lot& lot);

/// One standard error of the mean number of seedlings a cell, from what the checks show alone: 0 where they
/// agree.
double checked_mean_error(const Lot& lot);

}  // namespace braird
