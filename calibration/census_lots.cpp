// SPDX-License-Identifier: Apache-2.0
#include "calibration/census_lots.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <stdexcept>
#include <utility>

#include "calibration/require.h"

namespace braird {
namespace {

struct Shot {
  const Tray* tray;
  std::string name;           // of the tray, for the reader
  std::optional<double> day;  // since sowing
};

// Days from sowing, at midnight, to the exposure "YYYY-MM-DDTHH:MM:SS".
std::optional<double> day_of(const PhotoFacts& photo, const CensusOptions& options) {
  if (!options.sown_on || !photo.taken) return std::nullopt;
  int year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0;
  if (std::sscanf(photo.taken->c_str(), "%d-%d-%dT%d:%d:%d", &year, &month, &day, &hour, &minute, &second) <
      3)
    return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year(year),
                                         std::chrono::month(static_cast<unsigned>(month)),
                                         std::chrono::day(static_cast<unsigned>(day))};
  if (!date.ok()) return std::nullopt;
  const double days = static_cast<double>((std::chrono::sys_days(date) - *options.sown_on).count());
  if (days < 0)
    throw std::invalid_argument(photo.file + " was taken on " + photo.taken->substr(0, 10) +
                                ", before the sowing date");
  return days + hour / 24. + minute / 1440. + second / 86400.;
}

std::string lot_name(const Tray& tray, const CensusOptions& options) {
  return options.lot ? *options.lot : tray.crop.value_or("unnamed");
}

using Shots = std::vector<Shot>;

std::vector<std::pair<std::string, Shots>> shots_by_lot(std::span<const Census> censuses,
                                                        const CensusOptions& options) {
  std::vector<std::pair<std::string, Shots>> lots;
  for (const Census& census : censuses)
    for (std::size_t at = 0; at < census.trays.size(); ++at) {
      const Tray& tray = census.trays[at];
      const std::string name = lot_name(tray, options);
      auto known = std::ranges::find(lots, name, &std::pair<std::string, Shots>::first);
      if (known == lots.end()) known = lots.insert(lots.end(), {name, {}});
      const std::string tray_name =
          census.trays.size() > 1 ? fmt::format("{}, tray {}", census.photo.file, at + 1) : census.photo.file;
      known->second.push_back({&tray, tray_name, day_of(census.photo, options)});
    }
  return lots;
}

// Photos of one day belong together, whatever the hour.
std::map<int, Shots> by_day(const Shots& shots) {
  std::map<int, Shots> days;
  for (const Shot& shot : shots)
    if (shot.day) days[static_cast<int>(std::floor(*shot.day))].push_back(shot);
  return days;
}

std::size_t cells_in(const Shots& shots) {
  std::size_t cells = 0;
  for (const Shot& shot : shots) cells += shot.tray->cells.size();
  return cells;
}

// The same trays over days: every photo is dated, there are several days, and each day has all cells.
bool is_series(const Shots& shots, const std::map<int, Shots>& days) {
  std::size_t dated = 0;
  for (const auto& [day, taken] : days) dated += taken.size();
  return days.size() > 1 && dated == shots.size() && std::ranges::all_of(days, [&](const auto& day) {
           return cells_in(day.second) == cells_in(days.begin()->second);
         });
}

std::optional<int> seeds_of(const Tray& tray, const CensusOptions& options) {
  return options.seeds ? options.seeds : tray.seeds_per_cell;
}

void add_trays(Lot& lot, const Shots& shots, const CensusOptions& options) {
  for (const Shot& shot : shots) {
    const std::optional<int> seeds = seeds_of(*shot.tray, options);
    lot.seeds_known = lot.seeds_known && seeds.has_value();
    lot.trays.push_back(tray_map(*shot.tray, seeds.value_or(1), shot.name));
    lot.readings.push_back(cell_readings(*shot.tray, seeds.value_or(1)));
  }
}

// Seedlings of a day's photos; a photo may miss one that an earlier one showed, so the counts are made to
// rise.
Inspections course_of(const std::map<int, Shots>& days, const CensusOptions& options) {
  Inspections seen;
  std::vector<double> counts;
  for (const auto& [day, shots] : days) {
    double time = 0, up = 0, sown = 0;
    for (const Shot& shot : shots) {
      time += *shot.day / static_cast<double>(shots.size());
      up += summarise(*shot.tray).seedlings;
      sown += *seeds_of(*shot.tray, options) * static_cast<double>(shot.tray->cells.size());
    }
    seen.times.push_back(time);
    seen.sown = sown;
    counts.push_back(std::min(up, sown));
  }
  seen.came_up = never_falling(counts);
  return seen;
}

void refuse_seeds(const Census& census) {
  if (census.counted == Counted::seeds)
    throw std::invalid_argument(census.photo.file +
                                " was counted for seeds, before anything came up; rates and advice need counts of "
                                "seedlings, so leave it out");
}

Lot lot_of(const std::string& name, const Shots& shots, const CensusOptions& options) {
  Lot lot;
  lot.name = name;
  const auto days = by_day(shots);
  const bool series = is_series(shots, days);
  add_trays(lot, series ? days.rbegin()->second : shots, options);
  if (series && lot.seeds_known && days.begin()->second.front().day > 0)
    lot.course = course_of(days, options);
  if (!days.empty()) lot.last_day = days.rbegin()->second.front().day;
  if (series)
    lot.remarks.push_back(
        "The rates are those of the last day's photos; earlier ones serve the time course.");
  return lot;
}

}  // namespace

std::vector<Lot> lots_of(std::span<const Census> censuses, const CensusOptions& options) {
  if (options.seeds) require(*options.seeds >= 1, "seeds per cell", *options.seeds, "≥ 1");
  for (const Census& census : censuses) refuse_seeds(census);
  std::vector<Lot> lots;
  for (const auto& [name, shots] : shots_by_lot(censuses, options))
    lots.push_back(lot_of(name, shots, options));
  return lots;
}

}  // namespace braird
