// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/check_plan.h"

#include <algorithm>
#include <numeric>
#include <random>

#include "calibration/cells.h"
#include "calibration/which_to_check.h"

namespace braird::ledger {
namespace {

/// All cells in an order that only the photo's content decides. Fisher and Yates' shuffle, written out, since
/// the library's own may differ between systems.
std::vector<int> drawing_order(const KeptCensus& census) {
  std::vector<int> order(census.tray.cells.size());
  std::iota(order.begin(), order.end(), 0);
  std::seed_seq seed(census.hash.begin(), census.hash.end());
  std::mt19937 random(seed);
  for (std::size_t left = order.size(); left > 1; --left) std::swap(order[left - 1], order[random() % left]);
  return order;
}

std::vector<bool> checked_cells(const KeptCensus& census) {
  std::vector<bool> checked(census.tray.cells.size());
  for (const HandCheck& check : census.checks) checked[static_cast<std::size_t>(check.cell)] = true;
  return checked;
}

}  // namespace

int drawn_among(const KeptCensus& census, std::span<const int> cells) {
  const std::vector<bool> checked = checked_cells(census);
  int drawn = 0;
  for (const int cell : drawing_order(census)) {
    if (checked[static_cast<std::size_t>(cell)]) continue;
    if (std::ranges::count(cells, cell) == 0) break;
    ++drawn;
  }
  return drawn;
}

std::vector<CheckProposal> propose_checks(const KeptCensus& census, int drawn, int doubtful) {
  std::vector<bool> taken = checked_cells(census);
  std::vector<CheckProposal> proposals;
  const auto propose = [&](int cell, bool at_random, std::ptrdiff_t most) {
    if (taken[static_cast<std::size_t>(cell)] || std::ssize(proposals) >= most) return;
    taken[static_cast<std::size_t>(cell)] = true;
    proposals.push_back({cell, at_random});
  };
  for (const int cell : drawing_order(census)) propose(cell, true, drawn);
  const std::ptrdiff_t all = std::ssize(proposals) + doubtful;
  const auto readings = cell_readings(census.tray, census.tray.seeds_per_cell.value_or(1));
  for (const std::size_t cell : cells_to_check(readings, readings.size()))
    propose(static_cast<int>(cell), false, all);
  std::ranges::sort(proposals, {}, &CheckProposal::cell);
  return proposals;
}

}  // namespace braird::ledger
