// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "calibration/ledger/tray_course.h"

namespace braird::cli {

/// On which photo's day each cell came up: a map of the tray, a row a line.
std::string course_text(const ledger::TrayCourse& course);

/// tag, sown_on (null where not known), photo (its latest), rows, cols, lattice; days: of its photos, since
/// sowing; came_up, died_back: for each cell, row by row, the day of the first photo that shows it so, or
/// null.
nlohmann::ordered_json course_json(const ledger::TrayCourse& course);

}  // namespace braird::cli
