// SPDX-License-Identifier: Apache-2.0
// When each cell of a tray came up, as text and as JSON.
#include "cli/text/course_text.h"

#include <doctest/doctest.h>

using namespace braird;
using nlohmann::ordered_json;

namespace {

/// Two rows of three: up on each day in turn, never, up and gone, up from the start.
ledger::TrayCourse small_course() {
  ledger::TrayCourse course;
  course.tag = "K7", course.sown_on = "2026-04-02", course.file = "/bench/k7-9.jpg";
  course.layout = {2, 3, LatticeKind::square};
  course.days = {5.4, 7, 12.9};
  course.cells = {{0, {}, {1, 1, 1}},  {1, {}, {0, 1, 1}}, {2, {}, {0, 0, 1}},
                  {{}, {}, {0, 0, 0}}, {0, 2, {1, 1, 0}},  {0, {}, {2, 2, 2}}};
  return course;
}

}  // namespace

TEST_CASE("a tray's cells are mapped by the day that first shows them up") {
  CHECK(cli::course_text(small_course()) ==
        "Tray K7, sown on 2026-04-02\n"
        "  Cells that came up: 3 by day 5, 4 by day 7, 5 by day 12, of 6\n"
        "  Died back: row 2, column 2 (day 12)\n"
        "  The day of the first photo in which each was up (row 1 on top; .: in none; x: gone since):\n"
        "       1  2  3\n"
        "    1  5  7 12\n"
        "    2  . 5x  5\n");
}

TEST_CASE("a tray without tag is called by its latest photo, and nothing gone isn't spoken of") {
  ledger::TrayCourse course = small_course();
  course.tag.reset(), course.sown_on.reset(), course.cells[4].died_back.reset();
  const std::string text = cli::course_text(course);
  CHECK(text.starts_with("Tray of k7-9.jpg\n"));
  CHECK(text.find("gone") == std::string::npos);
  CHECK(text.find("Died") == std::string::npos);
}

TEST_CASE("the course in JSON has a day or null for each cell") {
  const ordered_json json = cli::course_json(small_course());
  CHECK(json["days"] == ordered_json({5.4, 7.0, 12.9}));
  CHECK(json["came_up"] == ordered_json({5.4, 7.0, 12.9, nullptr, 5.4, 5.4}));
  CHECK(json["died_back"] == ordered_json({nullptr, nullptr, nullptr, nullptr, 12.9, nullptr}));
  CHECK(json["lattice"] == "square");
}
