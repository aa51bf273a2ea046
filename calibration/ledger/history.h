// SPDX-License-Identifier: Apache-2.0
// Reading what the ledger remembers.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/checked_cells.h"
#include "calibration/ledger/ledger.h"
#include "calibration/ledger/records.h"

namespace braird::ledger {

/// Which lots and sowings are asked for; empty fields ask for all. Days as "YYYY-MM-DD", both included.
/// Sowings without a date are left out where one is asked for.
struct Filter {
  std::optional<std::string> crop, since, until;

  bool by_date() const { return since || until; }
};

/// The names of the lots that have a sowing, or facts, within the filter; by name.
std::vector<std::string> lot_names(const Ledger& ledger, const Filter& filter);

/// A lot with its sowings within the filter, their trays, photos and hand checks. Throws
/// std::invalid_argument with one sentence if there is no such lot; it then names the nearest one.
KeptLot read_lot(const Ledger& ledger, const std::string& name, const Filter& filter = {});

/// Which of the trays of its photo a census shows, from 1.
struct PlaceInPhoto {
  int number = 1, many = 1;
};
PlaceInPhoto place_in_photo(const Ledger& ledger, std::int64_t census);

struct FoundCensus {
  std::string lot;
  std::optional<std::string> tag;
  KeptCensus census;
  PlaceInPhoto place{};
};

/// What `name` means: a tag, the newest census of its tray; a photo's file, or the last parts of its path,
/// all trays of that photo; "PHOTO:2" its second; empty, the photo kept last. Throws std::invalid_argument
/// with one sentence if there is none, or photos of several folders have that name.
std::vector<FoundCensus> find_censuses(const Ledger& ledger, const std::string& name);

/// The same for one tray; throws likewise if the photo shows several and none is named.
FoundCensus find_census(const Ledger& ledger, const std::string& name);

/// Which photos the counter reads alike, so that checks of one tell of the others.
struct CheckedKind {
  std::optional<std::string> crop;
  Layout layout;
  std::optional<int> seeds_per_cell;
};

/// The cells of such photos that were drawn at random and counted by hand, over the whole ledger; each as it
/// was read first, since that is how the photos are read that the rates are made from.
std::vector<CheckedReading> counter_checks(const Ledger& ledger, const CheckedKind& kind);

}  // namespace braird::ledger
