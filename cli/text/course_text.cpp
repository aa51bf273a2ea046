// SPDX-License-Identifier: Apache-2.0
#include "cli/text/course_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "calibration/gap_map.h"
#include "calibration/json_words.h"

namespace braird::cli {
namespace {

using ledger::TrayCourse;

std::string whole_day(double day) {
  return fmt::format("{:.0f}", std::floor(day));
}

std::string name_of(const TrayCourse& course) {
  const std::string name =
      course.tag ? *course.tag : "of " + std::filesystem::path(course.file).filename().string();
  return fmt::format("Tray {}{}", name, course.sown_on ? ", sown on " + *course.sown_on : "");
}

/// "day 5: 12, day 6: 44 …": cells that had come up by then.
std::string up_by_day(const TrayCourse& course) {
  std::string words;
  for (std::size_t at = 0; at < course.days.size(); ++at) {
    const auto up = std::ranges::count_if(
        course.cells, [&](const CellStory& story) { return story.came_up && *story.came_up <= at; });
    words += fmt::format("{}{} by day {}", at > 0 ? ", " : "", up, whole_day(course.days[at]));
  }
  return words;
}

std::string gone_line(const TrayCourse& course) {
  std::string cells;
  for (std::size_t cell = 0; cell < course.cells.size(); ++cell)
    if (const auto& gone = course.cells[cell].died_back)
      cells += fmt::format("{}{} (day {})", cells.empty() ? "" : "; ",
                           place_name(course.layout, static_cast<int>(cell)), whole_day(course.days[*gone]));
  return cells.empty() ? "" : fmt::format("  Died back: {}\n", cells);
}

std::string mark_of(const TrayCourse& course, const CellStory& story) {
  if (!story.came_up) return ".";
  return whole_day(course.days[*story.came_up]) + (story.died_back ? "x" : "");
}

std::string map_of(const TrayCourse& course) {
  const auto cols = static_cast<std::size_t>(course.layout.cols);
  std::vector<std::string> marks;
  for (const CellStory& story : course.cells) marks.push_back(mark_of(course, story));
  const std::size_t width = std::max(std::size_t{2}, std::ranges::max(marks, {}, &std::string::size).size());
  std::string text = "     ";
  for (std::size_t col = 1; col <= cols; ++col) text += fmt::format(" {:>{}}", col, width);
  for (std::size_t at = 0; at < marks.size(); ++at)
    text += fmt::format("{} {:>{}}", at % cols == 0 ? fmt::format("\n  {:>3}", at / cols + 1) : "", marks[at],
                        width);
  return text + "\n";
}

}  // namespace

std::string course_text(const TrayCourse& course) {
  return fmt::format(
      "{}\n  Cells that came up: {}, of {}\n{}  The day of the first photo in which each was up (row 1 on "
      "top; .: in none{}):\n{}",
      name_of(course), up_by_day(course), course.cells.size(), gone_line(course),
      died_back(course) > 0 ? "; x: gone since" : "", map_of(course));
}

nlohmann::ordered_json course_json(const TrayCourse& course) {
  using Json = nlohmann::ordered_json;
  const auto day_of_photo = [&](const std::optional<std::size_t>& photo) {
    return photo ? Json(course.days[*photo]) : Json();
  };
  Json came_up = Json::array(), gone = Json::array();
  for (const CellStory& story : course.cells) {
    came_up.push_back(day_of_photo(story.came_up));
    gone.push_back(day_of_photo(story.died_back));
  }
  return {{"tag", or_null(course.tag)},  {"sown_on", or_null(course.sown_on)},
          {"photo", course.file},        {"rows", course.layout.rows},
          {"cols", course.layout.cols},  {"lattice", braird::name_of(course.layout.lattice)},
          {"days", course.days},         {"came_up", std::move(came_up)},
          {"died_back", std::move(gone)}};
}

}  // namespace braird::cli
