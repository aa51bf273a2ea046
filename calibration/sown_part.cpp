// SPDX-License-Identifier: Apache-2.0
#include "calibration/sown_part.h"

#include <cmath>

namespace braird {
namespace {

constexpr int kFewestLines = 2;    // a single one may be a blocked hole or a dry side
constexpr double kStrays = 0.125;  // share of a bare line that weeds and neighbours may fill
constexpr double kFullEnough = 0.5;
constexpr double kHardlyChance = 0.001;

int full_cells(const Tray& tray, const SownPart& part) {
  int full = 0;
  for (int row = part.first_row; row <= part.last_row; ++row)
    for (int col = part.first_col; col <= part.last_col; ++col) full += cell_at(tray, row, col).count > 0;
  return full;
}

int cells_in(const SownPart& part) {
  return (part.last_row - part.first_row + 1) * (part.last_col - part.first_col + 1);
}

bool is_bare(const Tray& tray, const SownPart& line) {
  return full_cells(tray, line) <= kStrays * cells_in(line);
}

/// Moves one side of `part` inwards, `edge` by `step`, over lines that are bare, if they are several.
void leave_bare_lines(const Tray& tray, SownPart& part, int SownPart::*edge, int SownPart::*other, int step) {
  SownPart line = part;
  int bare = 0;
  for (; line.*edge != part.*other; line.*edge += step, ++bare) {
    line.*other = line.*edge;
    if (!is_bare(tray, line)) break;
  }
  if (bare >= kFewestLines) part.*edge = line.*edge;
}

}  // namespace

std::optional<SownPart> sown_part(const Tray& tray) {
  const SownPart whole{0, tray.layout.rows - 1, 0, tray.layout.cols - 1};
  SownPart part = whole;
  leave_bare_lines(tray, part, &SownPart::first_row, &SownPart::last_row, 1);
  leave_bare_lines(tray, part, &SownPart::last_row, &SownPart::first_row, -1);
  leave_bare_lines(tray, part, &SownPart::first_col, &SownPart::last_col, 1);
  leave_bare_lines(tray, part, &SownPart::last_col, &SownPart::first_col, -1);
  const int kept = cells_in(part), left_out = cells_in(whole) - kept, full = full_cells(tray, part);
  if (left_out == 0 || part.last_row == part.first_row || part.last_col == part.first_col)
    return std::nullopt;
  const double gaps = (kept - full + 1.0) / (kept + 2.0);  // Laplace's rule of succession
  if (full < kFullEnough * kept || std::pow(gaps, left_out) > kHardlyChance) return std::nullopt;
  return part;
}

}  // namespace braird
