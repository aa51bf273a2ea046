// SPDX-License-Identifier: Apache-2.0
#include "calibration/gap_map.h"

#include <fmt/format.h>

#include <algorithm>

#include "calibration/require.h"

namespace braird {

GapMap gap_map(const TrayMap& tray) {
  const Layout& layout = tray.layout;
  require(layout.rows >= 1 && layout.cols >= 1 && tray.cells.size() == number_of_cells(layout),
          "number of cells", tray.cells.size(), fmt::format("{} × {}", layout.rows, layout.cols));
  GapMap map;
  map.layout = layout;
  map.labels.reserve(tray.cells.size());
  for (const CellCount& cell : tray.cells) {
    map.labels.push_back(cell.seeds == 0 ? -1 : cell.seedlings == 0);
    map.cells += cell.seeds > 0;
    map.empty += cell.seeds > 0 && cell.seedlings == 0;
  }
  return map;
}

std::string place_name(const Layout& layout, int at, int first_number) {
  return fmt::format("row {}, column {}", at / layout.cols + first_number, at % layout.cols + first_number);
}

std::string place_name(const TrayMap& tray, int at) {
  return place_name(tray.layout, at, tray.first_number);
}

bool is_at_edge(const Layout& layout, int at) {
  const int row = at / layout.cols, col = at % layout.cols;
  return row == 0 || col == 0 || row == layout.rows - 1 || col == layout.cols - 1;
}

Run longest_run(const GapMap& gaps) {
  Run longest, now;
  for (int at = 0; at < std::ssize(gaps.labels); ++at) {
    const int label = gaps.labels[static_cast<std::size_t>(at)];
    if (label == 0) now.length = 0;
    if (label != 1) continue;
    if (now.length++ == 0) now.start = at;
    if (now.length > longest.length) longest = now;
  }
  return longest;
}

std::vector<Finding> adjusted_below(std::vector<Finding> looks,
                                    std::vector<double> (*method)(std::span<const double>), double level) {
  require(level > 0 && level < 1, "level", level, "between 0 and 1");
  std::vector<double> p_values;
  p_values.reserve(looks.size());
  for (const Finding& look : looks) p_values.push_back(look.p_value);
  const auto adjusted = method(p_values);
  for (std::size_t at = 0; at < looks.size(); ++at) looks[at].p_adjusted = adjusted[at];
  std::erase_if(looks, [&](const Finding& look) { return look.p_adjusted >= level; });
  std::ranges::stable_sort(looks, {}, &Finding::p_value);
  return looks;
}

}  // namespace braird
