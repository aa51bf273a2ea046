// SPDX-License-Identifier: Apache-2.0
#include "calibration/seed_drops.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

namespace braird {
namespace {

// Places in the drop's list of the tray's cells: the same, or the other way round where that leaves fewer
// seedlings in cells that got no seed.
bool lies_turned(const Tray& drop, const TrayMap& map) {
  int straight = 0, turned = 0;
  for (std::size_t at = 0, last = map.cells.size() - 1; at <= last; ++at) {
    if (map.cells[at].seedlings == 0) continue;
    straight += drop.cells[at].count == 0, turned += drop.cells[last - at].count == 0;
  }
  return turned < straight;
}

// The seeds that lay in each cell; a cell without one, in which something came up all the same, had one.
void sow(TrayMap& map, const Tray& drop) {
  const bool turned = lies_turned(drop, map);
  for (std::size_t at = 0; at < map.cells.size(); ++at) {
    CellCount& cell = map.cells[at];
    const int lay = drop.cells[turned ? map.cells.size() - 1 - at : at].count;
    cell.seeds = std::max(lay, cell.seedlings > 0 ? 1 : 0);
  }
}

bool has_tag(const Shot& shot) {
  return tag_of(shot).has_value();
}

bool can_pair_by_tag(const Shots& drops, const Shots& shots) {
  return std::ranges::any_of(drops, has_tag) && std::ranges::any_of(shots, has_tag);
}

bool are_partners(const Shot& drop, const Shot& shot) {
  return tag_of(drop) == tag_of(shot) && (!drop.sown_on || !shot.sown_on || drop.sown_on == shot.sown_on);
}

[[noreturn]] void refuse_unpaired(const std::string& lot, const Shot& shot, const char* counted,
                                  const char* missing) {
  throw std::invalid_argument(fmt::format(
      "the tray {} of lot {} ({}) was counted for {}, but no tray of its tag and sowing for {}; give both "
      "counts of each tray, once",
      tag_of(shot).value_or("without a tag"), lot, shot.name, counted, missing));
}

// The drops in the order of `shots`; trays without a tag as they come.
Shots paired_by_tag(const std::string& lot, Shots drops, const Shots& shots) {
  Shots paired;
  for (const Shot& shot : shots) {
    const auto partner =
        std::ranges::find_if(drops, [&](const Shot& drop) { return are_partners(drop, shot); });
    if (partner == drops.end()) refuse_unpaired(lot, shot, "seedlings", "seeds");
    paired.push_back(*partner);
    drops.erase(partner);
  }
  if (!drops.empty()) refuse_unpaired(lot, drops[0], "seeds", "seedlings");
  return paired;
}

void require_same_trays(const std::string& lot, const Shots& drops, const Shots& shots) {
  bool same = drops.size() == shots.size();
  for (std::size_t at = 0; same && at < shots.size(); ++at)
    same = drops[at].tray->layout == shots[at].tray->layout;
  if (!same)
    throw std::invalid_argument(
        "the trays of lot " + lot + " that were counted for seeds (" + drops[0].name +
        " first) are not those counted for seedlings; give the same trays in the same order");
}

}  // namespace

void join_drops(Lot& lot, const Shots& given, const Shots& shots) {
  if (given.empty()) return;
  const Shots drops = can_pair_by_tag(given, shots) ? paired_by_tag(lot.name, given, shots) : given;
  require_same_trays(lot.name, drops, shots);
  int cells = 0, missed = 0;
  for (std::size_t at = 0; at < drops.size(); ++at) {
    sow(lot.trays[at], *drops[at].tray);
    lot.readings[at] = cell_readings(*shots[at].tray, lot.trays[at].cells);
    cells += static_cast<int>(lot.trays[at].cells.size());
    missed += static_cast<int>(std::ranges::count(lot.trays[at].cells, 0, &CellCount::seeds));
  }
  if (missed == cells) throw std::invalid_argument("no seed lay in any cell of lot " + lot.name);
  lot.seeds_known = true;
  lot.remarks.push_back(
      fmt::format("Seeds were counted cell by cell before they were covered: {} of {} cells got none, "
                  "by the sower's fault, and are left out of the rates and gaps.",
                  missed, cells));
}

}  // namespace braird
