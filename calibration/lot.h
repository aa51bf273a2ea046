// SPDX-License-Identifier: Apache-2.0
// What is known of a seed lot: whichever of these was counted.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "calibration/cells.h"
#include "calibration/findings.h"
#include "calibration/germination_times.h"

namespace braird {

/// A cell of a photographed tray that was counted by hand.
struct CheckedPlace {
  std::size_t tray = 0, cell = 0;  ///< places in the lot's lists
  int seedlings = 0;
};

struct Lot {
  std::string name;
  std::vector<TrayMap> trays;  ///< cells where they stand
  std::vector<std::vector<CellReading>>
      readings;                       ///< one list a tray: the same cells, as the counter believes them
  std::vector<CheckedPlace> checked;  ///< at random
  std::vector<CellCount> replicates;  ///< totals of dishes or trays, without their cells
  std::optional<Inspections> course;  ///< counts over time
  std::optional<double> last_day;     ///< since sowing, up to which all trays were counted
  SeedKind seed = SeedKind::single;   ///< of clusters a cell may hold more seedlings than seeds
  bool seeds_known = true;            ///< false: cells carry one seed as a stand-in
  std::vector<std::string> remarks;   ///< whole sentences for the reader
};

/// Counts of one lot from two places; replicates or daily counts don't go with trays. Throws
/// std::invalid_argument with one sentence.
void join(Lot& to, Lot more);

}  // namespace braird
