// SPDX-License-Identifier: Apache-2.0
#include "calibration/census.h"

#include <algorithm>

namespace braird {

CellState state_of(int count) {
  if (count <= 0) return CellState::empty;
  return count == 1 ? CellState::single : CellState::multiple;
}

bool has_any_up(const Tray& tray) {
  return std::ranges::any_of(tray.cells, [](const Cell& cell) { return cell.count > 0; });
}

TraySummary summarise(const Tray& tray) {
  TraySummary sum;
  for (const Cell& cell : tray.cells) {
    const CellState state = state_of(cell.count);
    ++sum.cells;
    sum.empty += state == CellState::empty;
    sum.single += state == CellState::single;
    sum.multiple += state == CellState::multiple;
    sum.seedlings += cell.count;
    sum.review += cell.review;
  }
  return sum;
}

const char* name_of(LatticeKind lattice) {
  return lattice == LatticeKind::square ? "square" : "staggered";
}

const char* name_of(Counted counted) {
  return counted == Counted::seeds ? "seeds" : "seedlings";
}

const char* name_of(CellState state) {
  if (state == CellState::empty) return "empty";
  return state == CellState::single ? "single" : "multiple";
}

}  // namespace braird
