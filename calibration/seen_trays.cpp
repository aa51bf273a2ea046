// SPDX-License-Identifier: Apache-2.0
#include "calibration/seen_trays.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>
#include <utility>

#include "calibration/checked_cells.h"
#include "calibration/spread.h"

namespace braird {
namespace {

using Row = std::vector<double>;

using ByCount = std::map<int, Row>;  // [counted][true number]: cells

// What checked cells held: by hand in each place, and by what the counter said of them where it erred alike.
struct Checks {
  std::map<std::pair<std::size_t, std::size_t>, int> by_place;
  std::vector<std::size_t> group;           // of each tray (told_together in checked_cells.h)
  std::map<std::size_t, ByCount> by_group;  // of trays with checks

  std::optional<int> at(std::size_t tray, std::size_t cell) const {
    const auto known = by_place.find({tray, cell});
    return known == by_place.end() ? std::nullopt : std::optional(known->second);
  }
  const Row* of(std::size_t group_of_tray, int count) const {
    const auto by_count = by_group.find(group_of_tray);
    if (by_count == by_group.end()) return nullptr;
    const auto row = by_count->second.find(count);
    return row == by_count->second.end() ? nullptr : &row->second;
  }
};

int counted(const Lot& lot, std::size_t tray, std::size_t cell) {
  return static_cast<int>(std::lround(lot.readings[tray][cell].seedlings));
}

void add(Row& row, int number, double cells) {
  const auto k = static_cast<std::size_t>(number);
  if (row.size() <= k) row.resize(k + 1);
  row[k] += cells;
}

Checks checks_of(const Lot& lot) {
  Checks checks;
  checks.by_place = counted_by_hand(lot);
  std::vector<std::size_t> checked_cells(lot.trays.size());
  for (const auto& [place, seedlings] : checks.by_place) ++checked_cells.at(place.first);
  checks.group = told_together(checked_cells);
  for (const auto& [place, seedlings] : checks.by_place) {
    const auto& [tray, cell] = place;
    add(checks.by_group[checks.group[tray]][counted(lot, tray, cell)], seedlings, 1);
  }
  return checks;
}

double sum_of(const Row& row) {
  return std::accumulate(row.begin(), row.end(), 0.);
}

// Cells of one count, spread over what they may hold.
void add_unchecked(Row& cells_with, int count, const Row* truths) {
  const double checked = truths ? sum_of(*truths) : 0;
  add(cells_with, count, 1 / (checked + 1));
  if (!truths) return;
  for (int k = 0; k < std::ssize(*truths); ++k)
    add(cells_with, k, (*truths)[static_cast<std::size_t>(k)] / (checked + 1));
}

// Whole numbers with the same sum: the largest remainders are rounded up.
void make_whole(Row& cells) {
  const double sum = std::round(sum_of(cells));
  std::vector<std::size_t> by_remainder(cells.size());
  std::iota(by_remainder.begin(), by_remainder.end(), std::size_t{0});
  const auto remainder = [&](std::size_t at) { return cells[at] - std::floor(cells[at] + 1e-9); };
  std::ranges::stable_sort(by_remainder, [&](auto a, auto b) { return remainder(a) > remainder(b); });
  for (double& number : cells) number = std::floor(number + 1e-9);
  const auto left = static_cast<std::size_t>(std::lround(sum - sum_of(cells)));
  for (std::size_t at = 0; at < std::min(left, by_remainder.size()); ++at) ++cells[by_remainder[at]];
}

// Else a person counted it, or it holds more than was sown.
bool as_counted(const Lot& lot, std::size_t tray, std::size_t cell) {
  return !lot.readings[tray][cell].by_hand &&
         lot.trays[tray].cells[cell].seedlings == counted(lot, tray, cell);
}

// Of so many unchecked cells of a count, how many are full: beta-binomial, with Jeffreys' prior for the
// share. Checks that agree leave the counter no more doubt than its own.
double variance_of(double cells, double own_doubt, int count, int low, const Row& truths) {
  const auto first_full = truths.begin() + std::min<std::ptrdiff_t>(low, std::ssize(truths));
  const double checked = sum_of(truths), full = sum_of({first_full, truths.end()}),
               share = (full + .5) / (checked + 1),
               by_checks = cells * share * (1 - share) * (1 + std::max(0., cells - 1) / (checked + 2));
  return full == (count >= low ? checked : 0) ? std::min(by_checks, own_doubt) : by_checks;
}

}  // namespace

std::vector<CellCount> counted_cells(const Lot& lot) {
  const Checks checks = checks_of(lot);
  std::vector<CellCount> cells;
  for (std::size_t tray = 0; tray < lot.trays.size(); ++tray)
    for (std::size_t cell = 0; cell < lot.trays[tray].cells.size(); ++cell) {
      cells.push_back(lot.trays[tray].cells[cell]);
      if (const auto by_hand = checks.at(tray, cell)) cells.back().seedlings = *by_hand;
    }
  return cells;
}

std::vector<SeenTray> seen_trays(const Lot& lot) {
  const Checks checks = checks_of(lot);
  std::vector<SeenTray> seen;
  for (std::size_t tray = 0; tray < lot.trays.size(); ++tray) {
    std::map<int, SeenTray> by_seeds;
    for (std::size_t at = 0; at < lot.trays[tray].cells.size(); ++at) {
      const CellCount& cell = lot.trays[tray].cells[at];
      if (cell.seeds == 0) continue;
      SeenTray& alike = by_seeds[cell.seeds];
      alike.seeds = cell.seeds;
      if (const auto by_hand = checks.at(tray, at))
        add(alike.cells_with, *by_hand, 1);
      else if (checks.by_place.empty() || !as_counted(lot, tray, at))
        add(alike.cells_with, cell.seedlings, 1);
      else
        add_unchecked(alike.cells_with, cell.seedlings, checks.of(checks.group[tray], cell.seedlings));
    }
    for (auto& [seeds, tray_of] : by_seeds) {
      make_whole(tray_of.cells_with);
      seen.push_back(std::move(tray_of));
    }
  }
  return seen;
}

double worth_of_a_cell(const Lot& lot) {
  if (lot.checked.empty()) return 1;
  double cells = 0, sum = 0, squares = 0;
  for (const SeenTray& tray : seen_trays(lot))
    for (std::size_t k = 0; k < tray.cells_with.size(); ++k) {
      const double number = static_cast<double>(k), many = tray.cells_with[k];
      cells += many, sum += many * number, squares += many * number * number;
    }
  const double by_hand = squares / cells - sum / cells * (sum / cells), error = checked_mean_error(lot),
               one_seedling = 1 / cells;
  return (by_hand + one_seedling) / (by_hand + error * error * cells + one_seedling);
}

double count_variance(const Lot& lot, int low) {
  const Checks checks = checks_of(lot);
  struct Cells {
    double many = 0, variance = 0;  // by the counter's own doubt
  };
  std::map<std::pair<std::size_t, int>, Cells> unchecked;  // by group and what the counter said
  for (std::size_t tray = 0; tray < lot.readings.size(); ++tray)
    for (std::size_t cell = 0; cell < lot.readings[tray].size(); ++cell) {
      const CellReading& reading = lot.readings[tray][cell];
      if (reading.by_hand || checks.at(tray, cell)) continue;
      const double full = chance_of_at_least(low, {reading.seedlings, reading.spread});
      Cells& cells = unchecked[{checks.group.at(tray), counted(lot, tray, cell)}];
      cells.many += 1;
      cells.variance += full * (1 - full);
    }
  double variance = 0;
  for (const auto& [of, cells] : unchecked) {
    const auto& [group, count] = of;
    const Row* truths = checks.of(group, count);
    variance += truths ? variance_of(cells.many, cells.variance, count, low, *truths) : cells.variance;
  }
  return variance;
}

}  // namespace braird
