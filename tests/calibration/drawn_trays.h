// SPDX-License-Identifier: Apache-2.0
// Trays whose gaps lie where a test draws them.
#pragma once

#include <algorithm>
#include <initializer_list>
#include <string_view>

#include "calibration/findings.h"
#include "trays.h"

namespace braird::test {

/// A tray drawn row by row: '#' came up, '.' is a gap, ' ' was not sown.
inline TrayMap drawn_tray(std::initializer_list<std::string_view> rows) {
  TrayMap tray;
  tray.layout = {static_cast<int>(rows.size()), static_cast<int>(rows.begin()->size())};
  for (const std::string_view row : rows)
    for (const char cell : row) tray.cells.push_back({cell == '#' ? 1 : 0, cell == ' ' ? 0 : 1});
  return tray;
}

/// One of so many gaps, anywhere.
template <typename Random>
TrayMap shuffled_tray(Layout layout, int gaps, Random& random) {
  TrayMap tray;
  tray.layout = layout;
  tray.cells = tray_of({gaps, layout.rows * layout.cols - gaps}, 1);
  std::ranges::shuffle(tray.cells, random);
  return tray;
}

}  // namespace braird::test
