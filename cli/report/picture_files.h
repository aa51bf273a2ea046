// SPDX-License-Identifier: Apache-2.0
// The report's pictures as files, for people who write documents of their own.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "cli/report/report.h"

namespace braird::report {

/// A figure of the page as an SVG file of its own: with its style, and without variables, which word
/// processors don't understand. `figure` holds one <svg> element, perhaps within other markup; throws
/// std::logic_error if none.
std::string standalone_svg(const std::string& figure);

/// Writes into `folder`, which is made if missing: of each tray NAME-map.svg, NAME-marked.png (where the
/// photo is at hand) and NAME-course.svg; of each sowing LOT-DATE-counts.svg; of each lot LOT-trend.svg. Says
/// what was written. Throws std::runtime_error with one sentence.
std::vector<std::filesystem::path> write_pictures(const Report& report, const std::filesystem::path& folder);

}  // namespace braird::report
