// SPDX-License-Identifier: Apache-2.0
// Which places of a tray are empty? The view that all searches for patterns share.
#pragma once

#include <string>
#include <vector>

#include "calibration/findings.h"

namespace braird {

struct GapMap {
  Layout layout;
  std::vector<int> labels;  ///< row by row: 1 empty, 0 filled, −1 not sown or not looked at
  int cells = 0;            ///< sown
  int empty = 0;

  int at(int row, int col) const { return labels[cell_index(layout, row, col)]; }
};

/// Throws std::invalid_argument if the cells don't fit the layout.
GapMap gap_map(const TrayMap& tray);

/// "row 3, column 7" for a place of the row-by-row list, counted from `first_number`, or in the tray's own
/// numbering.
std::string place_name(const Layout& layout, int at, int first_number = 1);
std::string place_name(const TrayMap& tray, int at);

/// Is a place of the row-by-row list one of the outermost cells?
bool is_at_edge(const Layout& layout, int at);

/// Gaps in a row, in sowing order; `start` as a place in the row-by-row list.
struct Run {
  int length = 0, start = 0;
};
/// Cells that were left out end no run: they were not sown, so the sower passed over them.
Run longest_run(const GapMap& gaps);

/// Fills in p_adjusted by `method` over all looks and keeps those below `level`, the smallest p-value first.
std::vector<Finding> adjusted_below(std::vector<Finding> looks,
                                    std::vector<double> (*method)(std::span<const double>), double level);

}  // namespace braird
