// SPDX-License-Identifier: Apache-2.0
#include "calibration/census_lots.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <stdexcept>
#include <utility>

#include "calibration/calendar_day.h"
#include "calibration/census_lot_remarks.h"
#include "calibration/profiles.h"
#include "calibration/require.h"
#include "calibration/seed_drops.h"
#include "calibration/trays_over_days.h"

namespace braird {
namespace {

std::optional<std::chrono::sys_days> date_of(const std::optional<std::string>& text) {
  return text ? calendar_day(text->substr(0, 10)) : std::nullopt;
}

Shot shot_of(const PhotoFacts& photo, const Tray& tray, std::string name, const CensusOptions& options) {
  Shot shot{&tray, std::move(name), sowing_of(tray, options), date_of(photo.taken), std::nullopt};
  if (is_taken_as_sown(shot)) shot.day = 0;
  if (!shot.sown_on || !shot.taken) return shot;
  const auto days = static_cast<double>((*shot.taken - *shot.sown_on).count());
  if (days < 0)
    throw std::invalid_argument(photo.file + " was taken on " + photo.taken->substr(0, 10) +
                                ", before the sowing date");
  shot.day = days + share_of_day(*photo.taken);
  return shot;
}

std::vector<std::pair<std::string, Shots>> shots_by_lot(std::span<const Census> censuses,
                                                        const CensusOptions& options, Counted counted) {
  std::vector<std::pair<std::string, Shots>> lots;
  for (const Census& census : censuses)
    for (std::size_t at = 0; at < census.trays.size(); ++at) {
      if (census.counted != counted) continue;
      const Tray& tray = census.trays[at];
      const std::string name = lot_of(tray, options);
      auto known = std::ranges::find(lots, name, &std::pair<std::string, Shots>::first);
      if (known == lots.end()) known = lots.insert(lots.end(), {name, {}});
      const std::string tray_name =
          census.trays.size() > 1 ? fmt::format("{}, tray {}", census.photo.file, at + 1) : census.photo.file;
      known->second.push_back(shot_of(census.photo, tray, tray_name, options));
    }
  return lots;
}

std::optional<int> seeds_of(const Tray& tray, const CensusOptions& options) {
  return options.seeds ? options.seeds : tray.seeds_per_cell;
}

void add_trays(Lot& lot, const Shots& shots, const CensusOptions& options) {
  for (const Shot& shot : shots) {
    const std::optional<int> seeds = seeds_of(*shot.tray, options);
    lot.seeds_known = lot.seeds_known && seeds.has_value();
    if (seed_kind(shot.tray->crop) == SeedKind::cluster) lot.seed = SeedKind::cluster;
    lot.trays.push_back(tray_map(*shot.tray, seeds.value_or(1), shot.name));
    lot.readings.push_back(cell_readings(*shot.tray, seeds.value_or(1)));
  }
}

// These photos as trays side by side.
Lot counted_lot(const std::string& name, const Shots& shots, const Shots& drops,
                const CensusOptions& options) {
  Lot lot;
  lot.name = name;
  add_trays(lot, shots, options);
  join_drops(lot, drops, shots);
  return lot;
}

double seedlings_that_count(const Lot& lot) {
  double up = 0;
  for (const auto& tray : lot.readings)
    for (const CellReading& cell : tray) up += cell.seedlings;
  return up;
}

// Seedlings of each day's photos, surplus cut as in the rates; a photo may miss one that an earlier one
// showed, so the counts are made to rise.
Inspections course_of(const std::map<int, Shots>& days, const Lot& lot, const Shots& drops,
                      const CensusOptions& options) {
  Inspections seen;
  for (const TrayMap& tray : lot.trays)
    for (const CellCount& cell : tray.cells) seen.sown += cell.seeds;
  std::vector<double> counts;
  for (const auto& [day, shots] : days) {
    double time = 0;
    for (const Shot& shot : shots) time += *shot.day / static_cast<double>(shots.size());
    seen.times.push_back(time);
    const double up = seedlings_that_count(counted_lot(lot.name, shots, drops, options));
    counts.push_back(std::min(up, seen.sown));
  }
  seen.came_up = never_falling(counts);
  return seen;
}

// Each day's photos, whatever the hour, tray by tray.
std::map<int, Shots> by_day(const std::vector<Shots>& trays) {
  std::map<int, Shots> days;
  for (const Shots& tray : trays)
    for (const Shot& shot : tray)
      if (shot.day) days[static_cast<int>(std::floor(*shot.day))].push_back(shot);
  return days;
}

bool is_course(const std::map<int, Shots>& days, const std::vector<Shots>& trays) {
  return days.size() > 1 && *days.begin()->second.front().day > 0 &&
         std::ranges::all_of(days, [&](const auto& day) { return day.second.size() == trays.size(); });
}

// Of the latest sowing, the age up to which all of its trays were seen: the others may have come on since.
std::optional<double> last_day(const Shots& shots) {
  const auto latest = std::ranges::max_element(shots, {}, &Shot::sown_on)->sown_on;
  std::optional<double> day;
  for (const Shot& shot : shots)
    if (shot.sown_on == latest && shot.day) day = std::min(*shot.day, day.value_or(*shot.day));
  return day;
}

Shots of_sowings(Shots shots, Sowings which) {
  if (which == Sowings::all || shots.empty()) return shots;
  const auto latest = std::ranges::max(shots, {}, &Shot::sown_on).sown_on;
  std::erase_if(shots, [&](const Shot& shot) {
    return (shot.sown_on && shot.sown_on < latest) != (which == Sowings::earlier);
  });
  return shots;
}

TraysOverDays shown(const Shots& shots, const CensusOptions& options) {
  return trays_over_days(shots, options.sowings == Sowings::latest);
}

Shots last_shots(const TraysOverDays& over) {
  Shots last;
  for (const Shots& tray : over.trays) last.push_back(tray.back());
  return last;
}

Lot lot_shown(const std::string& name, const Shots& shots, const Shots& drops, const CensusOptions& options) {
  const TraysOverDays over = shown(shots, options);
  const Shots last = last_shots(over);
  Lot lot = counted_lot(name, last, drops, options);
  const auto days = by_day(over.trays);
  if (lot.seeds_known && is_course(days, over.trays)) lot.course = course_of(days, lot, drops, options);
  lot.last_day = last_day(last);
  remark_on_days(lot, over, options);
  remark_on_fresh(lot, last);
  remark_on_told(lot, shots, options);
  return lot;
}

}  // namespace

std::string lot_of(const Tray& tray, const CensusOptions& options) {
  if (tray.lot) return *tray.lot;
  if (tray.label && tray.label->lot) return *tray.label->lot;
  return options.lot ? *options.lot : tray.crop.value_or("unnamed");
}

std::optional<std::chrono::sys_days> sowing_of(const Tray& tray, const CensusOptions& options) {
  if (const auto said = date_of(tray.sown_on)) return said;
  const auto said = tray.label ? date_of(tray.label->sown_on) : std::nullopt;
  return said ? said : options.sown_on;
}

std::vector<Census> giving_rates(std::span<const Census> censuses, const std::string& lot,
                                 const CensusOptions& options) {
  std::set<const Tray*> giving;
  for (const auto& [name, shots] : shots_by_lot(censuses, options, Counted::seedlings))
    if (name == lot)
      for (const Shot& shot : last_shots(shown(of_sowings(shots, options.sowings), options)))
        giving.insert(shot.tray);
  std::vector<Census> left;
  for (const Census& census : censuses) {
    Census part{census.photo, {}, census.remarks, census.counted};
    for (const Tray& tray : census.trays)
      if (giving.contains(&tray)) part.trays.push_back(tray);
    if (!part.trays.empty()) left.push_back(std::move(part));
  }
  return left;
}

std::vector<Lot> lots_of(std::span<const Census> censuses, const CensusOptions& options) {
  if (options.seeds) require(*options.seeds >= 1, "seeds per cell", *options.seeds, "≥ 1");
  auto drops = shots_by_lot(censuses, options, Counted::seeds);
  std::vector<Lot> lots;
  for (const auto& [name, all] : shots_by_lot(censuses, options, Counted::seedlings)) {
    const auto drop = std::ranges::find(drops, name, &std::pair<std::string, Shots>::first);
    const Shots shots = of_sowings(all, options.sowings);
    if (!shots.empty())
      lots.push_back(lot_shown(name, shots, drop == drops.end() ? Shots{} : drop->second, options));
    if (options.sowings == Sowings::latest && shots.size() < all.size()) remark_on_sowing(lots.back(), shots);
    if (drop != drops.end()) drops.erase(drop);
  }
  if (!drops.empty())
    throw std::invalid_argument(
        drops[0].second[0].name +
        " was counted for seeds, before anything came up; give the later count of the same "
        "trays' seedlings too, or leave it out");
  return lots;
}

}  // namespace braird
