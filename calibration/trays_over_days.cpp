// SPDX-License-Identifier: Apache-2.0
#include "calibration/trays_over_days.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <utility>

#include "calibration/same_tray.h"

namespace braird {
namespace {

constexpr double kLikeTrays =
    0.5;                       // H: 0.74 or more in photos of one tray, up to 0.4 with its cells shuffled
constexpr double kFewest = 3;  // misfits expected: with fewer, neither shows
constexpr double kMisread =
    0.02;  // of the cells, in either photo; in a nearly full tray all misfits are such

using Days = std::map<std::chrono::sys_days, Shots>;

/// Was one photographed with its rows for the other's columns?
bool are_across(const Layout& one, const Layout& other) {
  return one != other && one.lattice == LatticeKind::square &&
         other == Layout{one.cols, one.rows, one.lattice};
}

bool may_be_same(const Shot& one, const Shot& other) {
  const Layout &here = one.tray->layout, &there = other.tray->layout;
  return (here == there || are_across(here, there)) && one.sown_on == other.sown_on &&
         tag_of(one) == tag_of(other);
}

std::vector<Shots> grouped(const Shots& shots) {
  std::vector<Shots> groups;
  for (const Shot& shot : shots) {
    auto known =
        std::ranges::find_if(groups, [&](const Shots& group) { return may_be_same(group[0], shot); });
    if (known == groups.end()) known = groups.insert(groups.end(), Shots{});
    known->push_back(shot);
  }
  return groups;
}

/// Cells occupied on the day with fewer of them, but empty on the other.
struct Misfits {
  double seen = 0, expected = 0, cells = 0;

  Misfits& operator+=(const Misfits& more) {
    seen += more.seen, expected += more.expected, cells += more.cells;
    return *this;
  }
};

Misfits misfits(const Tray& one, const Tray& other, bool turned) {
  const std::size_t cells = one.cells.size();
  double first = 0, second = 0, both = 0;
  for (std::size_t at = 0; at < cells; ++at) {
    const bool up = one.cells[at].count > 0, there = other.cells[turned ? cells - 1 - at : at].count > 0;
    first += up, second += there, both += up && there;
  }
  const double fewer = std::min(first, second), more = std::max(first, second);
  return {fewer - both, fewer * (1 - more / static_cast<double>(cells)), static_cast<double>(cells)};
}

Misfits misfits_either_way(const Tray& one, const Tray& other) {
  const Misfits upright = misfits(one, other, false), turned = misfits(one, other, true);
  return turned.seen < upright.seen ? turned : upright;
}

Misfits misfits(const Shot& one, const Shot& other) {
  return are_across(one.tray->layout, other.tray->layout)
             ? misfits_either_way(*one.tray, quarter_turned(*other.tray))
             : misfits_either_way(*one.tray, *other.tray);
}

/// The day's photos, each with the tray of `last` that it fits best.
Misfits add_day(std::vector<Shots>& trays, Shots day) {
  Misfits sum;
  for (Shots& tray : trays) {
    const Shot& last = tray.back();
    const auto best = std::ranges::min_element(day, std::less{},
                                               [&](const Shot& shot) { return misfits(last, shot).seen; });
    sum += misfits(last, *best);
    tray.insert(tray.end() - 1, *best);
    day.erase(best);
  }
  return sum;
}

/// More than misread cells explain, by two standard deviations.
bool are_unlike(const Misfits& sum) {
  const double misread = kMisread * sum.cells;
  return sum.expected >= kFewest && 1 - sum.seen / sum.expected < kLikeTrays &&
         sum.seen > misread + 2 * std::sqrt(misread);
}

std::vector<Shots> each_alone(const Shots& shots) {
  std::vector<Shots> trays;
  for (const Shot& shot : shots) trays.push_back({shot});
  return trays;
}

/// The trays of the last day with their earlier photos; nothing if other days show others.
std::optional<std::vector<Shots>> seen_again(const Days& days) {
  const Shots& last = days.rbegin()->second;
  std::vector<Shots> trays = each_alone(last);
  Misfits sum;
  for (const auto& [date, shots] : days) {
    if (shots.size() != last.size()) return std::nullopt;
    if (date == days.rbegin()->first) break;
    sum += add_day(trays, shots);
  }
  if (are_unlike(sum)) return std::nullopt;
  return trays;
}

Days by_date(const Shots& shots) {
  Days days;
  for (const Shot& shot : shots)
    if (shot.taken) days[*shot.taken].push_back(shot);
  return days;
}

/// Of one tray.
Shots latest_of_each_day(const Shots& shots) {
  std::map<std::optional<std::chrono::sys_days>, Shot> latest;
  for (const Shot& shot : shots) latest.insert_or_assign(shot.taken, shot);
  Shots days;
  for (const auto& [date, shot] : latest) days.push_back(shot);
  return days;
}

}  // namespace

std::optional<std::string> tag_of(const Shot& shot) {
  return shot.tray->label ? std::optional(shot.tray->label->tag) : std::nullopt;
}

TraysOverDays trays_over_days(const Shots& shots, bool as_they_stand) {
  TraysOverDays over;
  for (const Shots& group : grouped(shots)) {
    if (tag_of(group[0])) {
      over.trays.push_back(latest_of_each_day(group));
      continue;
    }
    const Days days = by_date(group);
    const bool dated = std::ranges::all_of(group, [](const Shot& shot) { return shot.taken.has_value(); });
    std::optional<std::vector<Shots>> trays;
    if (dated && days.size() > 1) trays = seen_again(days);
    const bool apart = days.size() > 1 && !trays;
    over.side_by_side = over.side_by_side || apart;
    const Shots& shown = apart && dated && as_they_stand ? days.rbegin()->second : group;
    for (Shots& tray : trays ? *trays : each_alone(shown)) over.trays.push_back(std::move(tray));
  }
  std::ranges::sort(over.trays, std::less{}, [&](const Shots& tray) {
    return std::ranges::find(shots, tray.back().tray, &Shot::tray) - shots.begin();
  });
  return over;
}

}  // namespace braird
