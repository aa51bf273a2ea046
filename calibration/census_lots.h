// SPDX-License-Identifier: Apache-2.0
// From counted photos to seed lots: which trays belong together, and which photos show the same trays later.
#pragma once

#include <chrono>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "calibration/census.h"
#include "calibration/lot.h"

namespace braird {

/// Which of a lot's trays count, where they were sown on several days? Of the latest sowing those that stand
/// there now: where photos of several days may or may not show the same trays, those of the last day.
enum class Sowings { all, latest, earlier };

struct CensusOptions {
  std::optional<std::string> lot;                ///< of trays that don't say; else each crop is a lot
  std::optional<int> seeds;                      ///< a cell, ≥ 1; goes before what the census says
  std::optional<std::chrono::sys_days> sown_on;  ///< of trays that don't say
  Sowings sowings = Sowings::all;
};

/// The lot that a tray counts for, and when it was sown: as it says, else as its label does, else as told.
std::string lot_of(const Tray& tray, const CensusOptions& options);
std::optional<std::chrono::sys_days> sowing_of(const Tray& tray, const CensusOptions& options);

/// The lots in order of appearance. Of a tray that photos of several days show (trays_over_days.h) the last
/// one gives the rates; where the day of sowing is known and each day shows all of the lot's trays, the
/// counts of all days are the time course. Throws std::invalid_argument with one sentence for seeds < 1, or a
/// photo taken before the sowing date. Trays of a lot that were also counted for seeds give each cell its own
/// number of seeds (seed_drops.h). Cells that got none count as not sown.
std::vector<Lot> lots_of(std::span<const Census> censuses, const CensusOptions& options);

/// Only those trays that give the lot's rates, in their last photos.
std::vector<Census> giving_rates(std::span<const Census> censuses, const std::string& lot,
                                 const CensusOptions& options);

}  // namespace braird
