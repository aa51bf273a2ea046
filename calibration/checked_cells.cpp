// SPDX-License-Identifier: Apache-2.0
#include "calibration/checked_cells.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "calibration/counter_doubt.h"
#include "calibration/counter_error.h"
#include "calibration/rates.h"
#include "calibration/which_to_check.h"

namespace braird {
namespace {

// Cells of one number of seeds that the same checks tell of, as germination or gaps see them.
struct Alike {
  std::vector<CellReading> unchecked;
  std::vector<CheckedCell> own, elsewhere, other_trays;  // other_trays: of the lot

  const std::vector<CheckedCell>& telling() const {
    if (own.size() >= kFewestChecks) return own;
    return elsewhere.size() >= kFewestChecks ? elsewhere : other_trays;
  }
};

// What cells of a count turned out to hold, on average, one more having been read rightly.
class Truths {
 public:
  explicit Truths(const std::vector<CheckedCell>& checked) {
    for (const CheckedCell& cell : checked) {
      Sum& sum = by_count_[std::lround(cell.counted)];
      sum.truth += cell.truth;
      sum.cells += 1;
    }
  }
  double of(double counted) const {
    const auto sum = by_count_.find(std::lround(counted));
    if (sum == by_count_.end()) return counted;
    return (sum->second.truth + counted) / (sum->second.cells + 1);
  }

 private:
  struct Sum {
    double truth = 0, cells = 0;
  };
  std::map<long, Sum> by_count_;
};

// How far unchecked cells are off, as sums over them, and standard errors of what is left of that: from what
// all photos of a lot may share, and from which cells were drawn to be checked.
struct Left {
  double shift = 0, shared = 0, drawn = 0;
};

Left left_of(const Alike& alike) {
  double off = 0;
  for (const CellReading& cell : alike.unchecked) off += kKappa * cell.off;
  const std::vector<CheckedCell>& checked = alike.telling();
  if (alike.unchecked.empty() || checked.size() < kFewestChecks) return {0, off, 0};
  const Truths truths(checked);
  const double cells = static_cast<double>(alike.unchecked.size()),
               many = static_cast<double>(checked.size());
  double rest = 0, spread = 0;  // of the checked cells, what their counts don't tell: mean and variance
  for (const CheckedCell& cell : checked) rest += (cell.truth - truths.of(cell.counted)) / many;
  for (const CheckedCell& cell : checked)
    spread += std::pow(cell.truth - truths.of(cell.counted) - rest, 2) / many;
  double shift = rest;
  for (const CellReading& cell : alike.unchecked)
    shift += (truths.of(cell.seedlings) - cell.seedlings) / cells;
  // One miscounted seedling more than was seen; cells of several seeds may each hold more of them.
  const double unseen = std::max(1.0, alike.unchecked.front().seeds / 2);
  const double reach = t_quantile(many - 1, 0.95) / normal_quantile_two_sided(0.95),
               said = reach * reach * ((spread + unseen / many) / many + spread / cells),
               before = std::pow(off / cells, 2) + std::pow(2 * shift, 2), weight = before / (before + said),
               left = cells * std::sqrt(said * weight);
  if (&checked == &alike.own)
    return {shift * cells, cells * (1 - weight) * std::sqrt(before), cells * weight * std::sqrt(said)};
  return {&checked == &alike.other_trays ? 0 : shift * cells, std::max(left, off), 0};
}

std::vector<std::size_t> groups_of(const CheckedTrays& of) {
  std::vector<std::size_t> checked_cells(of.trays.size());
  for (const CheckedReading& check : of.own) ++checked_cells.at(check.tray);
  return told_together(checked_cells);
}

// Unchecked cells by what checks tell of them and by seeds, each with those checks.
template <typename Seen>
std::vector<Alike> told_alike(const CheckedTrays& of, Seen seen) {
  const std::vector<std::size_t> groups = groups_of(of);
  std::map<std::pair<std::size_t, double>, Alike> by_group;
  for (std::size_t tray = 0; tray < of.trays.size(); ++tray)
    for (const CellReading& cell : of.trays[tray])
      if (cell.seeds > 0 && !cell.by_hand)
        by_group[{groups[tray], cell.seeds}].unchecked.push_back(seen(cell));
  std::vector<Alike> all;
  for (auto& [of_group, alike] : by_group) {
    const auto& [group, seeds] = of_group;
    const auto add = [seen, sown_with = seeds](const CheckedReading& check, std::vector<CheckedCell>& to) {
      if (check.reading.seeds == sown_with)
        to.push_back(
            {seen(CellReading{check.seedlings, 0, 0, sown_with}).seedlings, seen(check.reading).seedlings});
    };
    for (const CheckedReading& check : of.own)
      add(check, groups[check.tray] == group ? alike.own : alike.other_trays);
    for (const CheckedReading& check : of.elsewhere) add(check, alike.elsewhere);
    all.push_back(std::move(alike));
  }
  return all;
}

template <typename Seen>
CounterCheck counter_check(std::span<const CheckedTrays> kinds, Seen seen) {
  CounterCheck sum;
  double sown = 0, drawn = 0;
  for (const CheckedTrays& of : kinds)
    for (const auto& tray : of.trays)
      for (const CellReading& cell : tray)
        if (cell.seeds > 0) sown += seen(cell).seeds;
  for (const CheckedTrays& of : kinds)
    for (const Alike& alike : told_alike(of, seen)) {
      const Left more = left_of(alike);
      sum.shift += more.shift / sown;
      sum.error += more.shared / sown;
      drawn = std::hypot(drawn, more.drawn / sown);
    }
  sum.error = std::hypot(sum.error, drawn);
  return sum;
}

CellReading as_read(const CellReading& cell) {
  return cell;
}

Estimate with_number(Estimate rate, std::span<const CheckedTrays> kinds) {
  std::size_t many = 0;
  for (const CheckedTrays& of : kinds)
    many += of.own.size() >= kFewestChecks ? of.own.size() : of.elsewhere.size();
  rate.method += fmt::format(", {} cells checked by hand", many);
  return rate;
}

std::vector<std::vector<CellReading>> all_trays(std::span<const CheckedTrays> kinds) {
  std::vector<std::vector<CellReading>> trays;
  for (const CheckedTrays& of : kinds) trays.insert(trays.end(), of.trays.begin(), of.trays.end());
  return trays;
}

}  // namespace

std::vector<std::size_t> told_together(const std::vector<std::size_t>& checked_cells) {
  std::vector<std::size_t> numbers(checked_cells.size());
  for (std::size_t tray = 0; tray < numbers.size(); ++tray)
    numbers[tray] =
        checked_cells[tray] >= kFewestChecks ? tray : numbers.size() + (checked_cells[tray] > 0 ? 0 : 1);
  return numbers;
}

Estimate checked_germination_rate(std::span<const CheckedTrays> kinds) {
  return with_number(pooled_germination_rate(all_trays(kinds), counter_check(kinds, as_read)), kinds);
}

Estimate checked_gap_rate(std::span<const CheckedTrays> kinds) {
  return with_number(pooled_gap_rate(all_trays(kinds), counter_check(kinds, gap_reading)), kinds);
}

CheckedByPlace counted_by_hand(const Lot& lot) {
  CheckedByPlace by_place;
  for (const CheckedPlace& place : lot.checked) by_place[{place.tray, place.cell}] = place.seedlings;
  return by_place;
}

void settle_checks(Lot& lot) {
  lot.readings = checked_trays(lot).trays;
  lot.checked.clear();
}

CheckedTrays checked_trays(const Lot& lot) {
  CheckedTrays of{lot.readings, {}, {}};
  for (const auto& [place, seedlings] : counted_by_hand(lot)) {
    const auto& [tray, at] = place;
    const CellReading& reading = lot.readings.at(tray).at(at);
    const double seen = std::min<double>(seedlings, most_seedlings(lot.seed, reading.seeds));
    of.own.push_back({reading, seen, tray});
    of.trays[tray] = with_checked(std::move(of.trays[tray]), {{{at, static_cast<int>(seen)}}});
  }
  return of;
}

Estimate checked_germination_rate(const Lot& lot) {
  return checked_germination_rate(checked_trays(lot));
}

Estimate checked_gap_rate(const Lot& lot) {
  return checked_gap_rate(checked_trays(lot));
}

double checked_mean_error(const Lot& lot) {
  CheckedTrays of = checked_trays(lot);
  double cells = 0, sown = 0;
  for (auto& tray : of.trays)
    for (CellReading& cell : tray) {
      cell.off = 0;
      cells += cell.seeds > 0;
      sown += cell.seeds;
    }
  return counter_check({&of, 1}, as_read).error * sown / cells;
}

}  // namespace braird
