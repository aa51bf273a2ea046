// SPDX-License-Identifier: Apache-2.0
// What became of each cell of a kept tray that was photographed on several days?
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/cell_course.h"
#include "calibration/ledger/records.h"

namespace braird::ledger {

struct TrayCourse {
  std::optional<std::string> tag, sown_on;
  std::string file;  ///< its latest photo
  Layout layout;
  std::vector<double> days;      ///< of its photos, since sowing, rising
  std::vector<CellStory> cells;  ///< row by row
  Inspections emergence;         ///< seedlings up at each day
  double standing = 0;           ///< seedlings up in its latest photo, no more than seeds
  double design_effect = 1;      ///< of its seeds, as the latest photo has them (rates.h)
};

/// Nothing for a tray without two dated photos, or without a sowing date.
std::optional<TrayCourse> course_of(const KeptTray& tray, const SowingFacts& sowing);

/// Of all trays of the lot that have one, by sowing.
std::vector<TrayCourse> courses_of(const KeptLot& lot);

/// How many cells have died back.
int died_back(const TrayCourse& course);

}  // namespace braird::ledger
