// SPDX-License-Identifier: Apache-2.0
#include "vision/cell_chances.h"

#include <algorithm>
#include <numeric>

namespace braird::vision {
namespace {

/// Cells whose state is less sure than this are worth a look: of painted held-out cells one in six, with half
/// of all wrong states among them.
constexpr double kSureEnough = 0.65;

/// The chance that the cell is as empty, single or multiple as its count says.
double chance_of_state(const Cell& cell) {
  const auto& p = cell.probability;
  if (cell.count < 2) return p[static_cast<std::size_t>(cell.count)];
  return std::accumulate(p.begin() + 2, p.end(), 0.0);
}

}  // namespace

int count_of(const CountChances& chances) {
  // Were it the likeliest of all, doubtful plants would be passed over: 2 or 3 against 0 split their chances.
  const bool empty = chances.at(0) >= 0.5 || chances.size() == 1;
  return empty ? 0 : static_cast<int>(std::max_element(chances.begin() + 1, chances.end()) - chances.begin());
}

Cell with_chances(Cell cell, const CountChances& chances) {
  cell.count = count_of(chances);
  cell.probability = chances;
  cell.review = chance_of_state(cell) < kSureEnough;
  return cell;
}

}  // namespace braird::vision
