// SPDX-License-Identifier: Apache-2.0
// Trays made for a report, and what is asked of its text.
#pragma once

#include <regex>
#include <string>
#include <utility>
#include <vector>

#include "cli/report/gather.h"

namespace braird::test {

/// A tray with these counts, row by row, its cells 50 px apart.
inline Tray tray_with(Layout layout, std::vector<int> counts) {
  Tray tray;
  tray.layout = layout;
  tray.pitch_px = 50;
  tray.fit = 1;
  tray.crop = "kale";
  tray.seeds_per_cell = 1;
  for (int at = 0; at < layout.rows * layout.cols; ++at) {
    const int row = at / layout.cols, col = at % layout.cols;
    const double shift = layout.lattice == LatticeKind::staggered ? 25. * (row % 2) : 0;
    Cell cell{row, col,  {100 + 50. * col + shift, 100 + 50. * row}, counts[static_cast<std::size_t>(at)],
              {},  false};
    cell.probability.assign(static_cast<std::size_t>(cell.count) + 1, 0);
    cell.probability.back() = 1;
    tray.cells.push_back(cell);
  }
  const int last = layout.cols - 1;
  const auto centre = [&](int row, int col) { return cell_at(tray, row, col).centre_px; };
  tray.corners_px = {centre(0, 0), centre(0, last), centre(layout.rows - 1, last),
                     centre(layout.rows - 1, 0)};
  return tray;
}

inline report::TrayReport shown(Tray tray) {
  report::TrayReport report;
  report.id = "t1";
  report.name = "K7";
  report.tray = std::move(tray);
  report.evidence = weigh(report.tray, nullptr, std::nullopt);
  return report;
}

/// Every tag closed in turn: what a strict reader of XML asks first. Void HTML elements must have been taken
/// out.
inline bool is_well_formed(const std::string& xml) {
  std::vector<std::string> open;
  const std::regex tag("<(/?)([A-Za-z][A-Za-z0-9:]*)((?:\\s+[-A-Za-z:]+=\"[^\"<]*\")*)\\s*(/?)>|<");
  for (auto at = std::sregex_iterator(xml.begin(), xml.end(), tag); at != std::sregex_iterator(); ++at) {
    const std::smatch& found = *at;
    if (found[2].length() == 0) return false;  // a bare "<"
    if (found[4].length() > 0) continue;
    if (found[1].length() == 0) {
      open.push_back(found[2]);
    } else {
      if (open.empty() || open.back() != found[2]) return false;
      open.pop_back();
    }
  }
  return open.empty();
}

/// How often does the text hold the part?
inline int count_of(const std::string& text, const std::string& part) {
  int many = 0;
  for (std::size_t at = 0; (at = text.find(part, at)) != std::string::npos; at += part.size()) ++many;
  return many;
}

}  // namespace braird::test
