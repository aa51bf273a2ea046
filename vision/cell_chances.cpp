// SPDX-License-Identifier: Apache-2.0
#include "vision/cell_chances.h"

#include <algorithm>

namespace braird::vision {
namespace {

/// Cells whose state is less sure than this are worth a look: of painted held-out cells one in six, with half
/// of all wrong states among them.
constexpr double kSureEnough = 0.65;

}  // namespace

int count_of(const CountChances& chances) {
  // Were it the likeliest of all, doubtful plants would be passed over: 2 or 3 against 0 split their chances.
  const bool empty = chances.at(0) >= 0.5 || chances.size() == 1;
  return empty ? 0 : static_cast<int>(std::max_element(chances.begin() + 1, chances.end()) - chances.begin());
}

std::array<double, 3> state_chances(const CountChances& chances) {
  std::array<double, 3> result{};
  for (std::size_t k = 0; k < chances.size(); ++k) result[std::min<std::size_t>(k, 2)] += chances[k];
  return result;
}

Cell with_chances(Cell cell, const CountChances& chances) {
  cell.count = count_of(chances);
  cell.probability = chances;
  cell.review = state_chances(chances)[static_cast<std::size_t>(std::min(cell.count, 2))] < kSureEnough;
  return cell;
}

}  // namespace braird::vision
