// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/tray_course.h"

#include <algorithm>

#include "calibration/ledger/lot_rates.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/rates.h"

namespace braird::ledger {

std::optional<TrayCourse> course_of(const KeptTray& tray, const SowingFacts& sowing) {
  if (tray.censuses.size() < 2) return std::nullopt;
  std::vector<Tray> counted;  // with a person's counts; photos point into it
  counted.reserve(tray.censuses.size());
  std::vector<TrayOnDay> photos;
  TrayCourse course{tray.tag, sowing.sown_on, {}, sowing.layout, {}, {}, {}, 0, 1};
  for (const KeptCensus& census : tray.censuses)
    if (const auto day = day_of(census.taken, sowing.sown_on); day && *day > 0) {
      photos.push_back({*day, &counted.emplace_back(counted_by_all(census))});
      course.days.push_back(*day);
      course.file = census.file;
    }
  if (photos.size() < 2) return std::nullopt;
  course.cells = cell_stories(photos);
  const int seeds = sowing.seeds_per_cell.value_or(1);
  course.emergence = emergence_of(course.cells, photos, seeds);
  for (const Cell& cell : photos.back().tray->cells) course.standing += std::min(cell.count, seeds);
  course.design_effect = design_effect(cell_readings(*photos.back().tray, seeds));
  return course;
}

std::vector<TrayCourse> courses_of(const KeptLot& lot) {
  std::vector<TrayCourse> courses;
  for (const KeptSowing& sowing : lot.sowings)
    for (const KeptTray& tray : sowing.trays)
      if (auto course = course_of(tray, sowing.facts)) courses.push_back(std::move(*course));
  return courses;
}

int died_back(const TrayCourse& course) {
  return static_cast<int>(std::ranges::count_if(
      course.cells, [](const CellStory& story) { return story.died_back.has_value(); }));
}

}  // namespace braird::ledger
