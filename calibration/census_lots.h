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

struct CensusOptions {
  std::optional<std::string> lot;                ///< the name for all trays; else each crop is a lot
  std::optional<int> seeds;                      ///< a cell, ≥ 1; goes before what the census says
  std::optional<std::chrono::sys_days> sown_on;  ///< makes photos of several days a time course
};

/// The lots in order of appearance. With a sowing date, photos of a lot from several days that show equally
/// many cells are one series: the rates are then those of the last day, and the counts of all days the time
/// course. Throws std::invalid_argument with one sentence for seeds < 1, or a photo taken before the sowing
/// date. Trays of a lot that were also counted for seeds give each cell its own number of seeds: as many of
/// them, in the same order, else std::invalid_argument. Cells that got none count as not sown.
std::vector<Lot> lots_of(std::span<const Census> censuses, const CensusOptions& options);

}  // namespace braird
