// SPDX-License-Identifier: Apache-2.0
// From kept photos to rates: which photos speak, how their cells are read, and whether the counter's error is
// taken off. lot_summary.h says how.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "calibration/interval.h"
#include "calibration/ledger/history.h"
#include "calibration/lot.h"

namespace braird::ledger {

/// The tray as it was counted, with a person's counts in place of the counter's.
Tray counted_by_all(const KeptCensus& census);

/// Cells of each state, and seedlings, of the tray counted thus.
TraySummary summed_by_all(const KeptCensus& census);

/// The trays that speak for a sowing: with photos, and not only with one that may be an early one of
/// another of them (lot_summary.h).
std::vector<const KeptTray*> telling_trays(const KeptSowing& sowing);

/// Days from sowing to the photo; 0 where they aren't known, but nothing is up and seeds lie in view.
std::optional<double> age_when_seen(const KeptCensus& census, const SowingFacts& sowing);

/// Days from sowing up to which all of these trays were seen: the least of their latest photos'.
std::optional<double> all_seen_on(const KeptSowing& sowing);

/// Puts a sowing's trays, each by its latest photo, and their cells checked at random into a lot. Other hand
/// counts stand in the counter's place.
void add_to(Lot& lot, const KeptSowing& sowing);

/// Trays that the counter reads alike, and its checked cells in such trays, enough for a correction.
struct KindChecks {
  Layout layout;
  std::optional<int> seeds_per_cell;
  std::vector<CheckedReading> cells;
};

/// Checks of the counter for the lot's crop, by kind of its trays; kinds that have too few are left out.
std::vector<KindChecks> checks_for(const Ledger& ledger, const KeptLot& kept);

/// Those of the sowing's kind; empty where there are none.
std::span<const CheckedReading> checks_of_kind(const std::vector<KindChecks>& checks,
                                               const SowingFacts& sowing);

/// Each tray's cells as the statistics read them, hand counts in their places.
struct Readings {
  std::vector<std::vector<CellReading>> trays;
  bool seeds_known = true;

  void add(const Readings& more) {
    trays.insert(trays.end(), more.trays.begin(), more.trays.end());
    seeds_known = seeds_known && more.seeds_known;
  }
};

Readings readings_of(const KeptSowing& sowing);

/// A sowing with what is read of it.
struct Sown {
  const KeptSowing* sowing;
  Readings readings;
};

struct Rates {
  std::optional<Estimate> germination, gaps;
};

enum class Wanted { both, germination };

/// The rates of some sowings taken together, trays of each kind corrected by its checks; nothing where they
/// have no photos.
Rates rates_of(const std::vector<const Sown*>& sowings, const std::vector<KindChecks>& checks,
               Wanted wanted = Wanted::both);

}  // namespace braird::ledger
