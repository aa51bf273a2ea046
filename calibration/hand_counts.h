// SPDX-License-Identifier: Apache-2.0
// Hand counts from a spreadsheet. The first row names the columns, in any order, and so tells the kind:
//
//   lot,tray,row,col,count     one row a cell; seeds a cell from the options, or from a column `seeds`
//   lot,sown,germinated        one row a replicate: a dish, a tray
//   lot,day,germinated         one row an inspection, newly come up (or in all, if told so); seeds sown
//                              from the options
//
// Rows and columns count from 0 or from 1; cells without a row are left out, with a remark.
#pragma once

#include <istream>
#include <optional>
#include <string>
#include <vector>

#include "calibration/lot.h"

namespace braird {

enum class DailyCounts { newly_up, up_in_all };

struct HandCountOptions {
  std::optional<double> sown;  ///< seeds of each lot with daily counts, > 0
  std::optional<int> seeds;    ///< a cell, ≥ 1
  LatticeKind lattice = LatticeKind::square;
  DailyCounts daily = DailyCounts::newly_up;
  SeedKind seed = SeedKind::single;
};

/// The lots in order of appearance. Throws std::invalid_argument whose message has a line for each bad row
/// (at most ten): file, line, what is wrong. Then nothing is returned at all.
std::vector<Lot> read_hand_counts(std::istream& in, const std::string& file, const HandCountOptions& options);

}  // namespace braird
