// SPDX-License-Identifier: Apache-2.0
#include "calibration/cell_course.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>

#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kComesUp = 0.3, kDiesBack = 0.01;
constexpr double kNeverImpossible = 0.02;  // the counter may be sure and wrong
constexpr double kTakenOut = 0.5;          // how much of what the tray has in common
constexpr double kHalfUp = 10;             // cells' worth of "half are up" in what a tray has in common

enum Stage : std::size_t { kBefore, kUp, kGone, kStages };

double chance_empty(const Cell& cell) {
  const double p = cell.probability.empty() ? (cell.count == 0 ? 1 : 0) : cell.probability[0];
  return std::clamp(p, kNeverImpossible, 1 - kNeverImpossible);
}

// The last photo's count stands: the tray's figures are drawn from it.
double chance_empty(std::span<const TrayOnDay> days, std::size_t day, std::size_t at) {
  const Cell& cell = days[day].tray->cells[at];
  return day + 1 == days.size() && cell.count > 0 ? kNeverImpossible : chance_empty(cell);
}

// For each photo, the log odds of an occupied cell to take from what the counter says of each.
std::vector<double> odds_in_common(std::span<const TrayOnDay> days) {
  std::vector<double> odds(days.size());
  for (std::size_t day = 0; day + 1 < days.size(); ++day) {
    const std::vector<Cell>& cells = days[day].tray->cells;
    double empty = kHalfUp / 2;
    for (const Cell& cell : cells) empty += chance_empty(cell);
    empty /= static_cast<double>(cells.size()) + kHalfUp;
    odds[day] = kTakenOut * std::log((1 - empty) / empty);
  }
  return odds;
}

// The likeliest number of seedlings, given that the cell is occupied.
int seedlings_if_up(const Cell& cell) {
  if (cell.probability.size() < 2) return std::max(1, cell.count);
  return static_cast<int>(std::max_element(cell.probability.begin() + 1, cell.probability.end()) -
                          cell.probability.begin());
}

double log_step(std::size_t from, std::size_t to) {
  static const double steps[kStages][kStages] = {
      {std::log(1 - kComesUp), std::log(kComesUp), -std::numeric_limits<double>::infinity()},
      {-std::numeric_limits<double>::infinity(), std::log(1 - kDiesBack), std::log(kDiesBack)},
      {-std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity(), 0}};
  return steps[from][to];
}

std::vector<Stage> likeliest_stages(std::span<const TrayOnDay> days, const std::vector<double>& in_common,
                                    std::size_t cell) {
  std::array<double, kStages> best = {0, -std::numeric_limits<double>::infinity(),
                                      -std::numeric_limits<double>::infinity()};
  std::vector<std::array<std::size_t, kStages>> came_from;
  for (std::size_t day = 0; day < days.size(); ++day) {
    const double empty = chance_empty(days, day, cell);
    std::array<double, kStages> next{};
    auto& from = came_from.emplace_back();
    for (std::size_t to = 0; to < kStages; ++to) {
      next[to] = -std::numeric_limits<double>::infinity();
      for (std::size_t before = 0; before < kStages; ++before)
        if (const double way = best[before] + log_step(before, to); way > next[to]) {
          next[to] = way;
          from[to] = before;
        }
      next[to] += to == kUp ? std::log(1 - empty) - in_common[day] : std::log(empty);
    }
    best = next;
  }
  std::vector<Stage> stages(days.size());
  auto at = static_cast<std::size_t>(std::ranges::max_element(best) - best.begin());
  for (std::size_t day = days.size(); day-- > 0; at = came_from[day][at])
    stages[day] = static_cast<Stage>(at);
  return stages;
}

CellStory story_of(std::span<const TrayOnDay> days, const std::vector<double>& in_common, std::size_t cell) {
  CellStory story;
  const std::vector<Stage> stages = likeliest_stages(days, in_common, cell);
  for (std::size_t day = 0; day < days.size(); ++day) {
    if (stages[day] == kUp && !story.came_up) story.came_up = day;
    if (stages[day] == kGone && !story.died_back) story.died_back = day;
    story.seedlings.push_back(stages[day] == kUp ? seedlings_if_up(days[day].tray->cells[cell]) : 0);
  }
  return story;
}

}  // namespace

std::vector<CellStory> cell_stories(std::span<const TrayOnDay> days) {
  require(!days.empty(), "number of photos", days.size(), "≥ 1");
  const Layout& layout = days[0].tray->layout;
  for (std::size_t at = 0; at < days.size(); ++at) {
    const Layout& other = days[at].tray->layout;
    require(other == layout, "layout", other.rows * other.cols, "the same on all days");
    require(at == 0 || days[at].day >= days[at - 1].day, "day", days[at].day, "rising");
  }
  const std::vector<double> in_common = odds_in_common(days);
  std::vector<CellStory> stories;
  for (std::size_t cell = 0; cell < days[0].tray->cells.size(); ++cell)
    stories.push_back(story_of(days, in_common, cell));
  return stories;
}

Inspections emergence_of(std::span<const CellStory> stories, std::span<const TrayOnDay> days,
                         int seeds_per_cell) {
  require(seeds_per_cell >= 1, "seeds per cell", seeds_per_cell, "≥ 1");
  Inspections seen;
  seen.sown = static_cast<double>(stories.size()) * seeds_per_cell;
  std::vector<double> counts(days.size());
  for (const CellStory& story : stories) {
    std::vector<double> up(story.seedlings.begin(), story.seedlings.end());
    // What died back had come up; what a photo missed meanwhile was there.
    if (story.died_back)
      std::fill(up.begin() + static_cast<std::ptrdiff_t>(*story.died_back), up.end(),
                *std::max_element(up.begin(), up.end()));
    up = never_falling(up);
    for (std::size_t day = 0; day < up.size(); ++day)
      counts[day] += std::min(up[day], static_cast<double>(seeds_per_cell));
  }
  for (std::size_t day = 0; day < days.size(); ++day) {
    const double time = days[day].day;
    if (!seen.times.empty() && time <= seen.times.back()) {  // the same hour: the later word counts
      seen.came_up.back() = std::max(seen.came_up.back(), counts[day]);
      continue;
    }
    seen.times.push_back(time);
    seen.came_up.push_back(counts[day]);
  }
  return seen;
}

}  // namespace braird
