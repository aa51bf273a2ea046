// SPDX-License-Identifier: Apache-2.0
// When did each cell of a tray come up, and what died back, by photos of several days?
#include "calibration/cell_course.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "calibration/germination_times.h"
#include "tests/ledger/made_trays.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("a tray's days give its T50 and each cell's day, though single photos misread cells") {
  std::mt19937 random(21);
  const GrownTray tray = grown({.layout = {22, 12, LatticeKind::staggered}, .rate = 0.9}, random);
  std::vector<Tray> photos;
  const std::vector<double> days = {4.5, 5.5, 6.5, 7.5, 9};
  for (const double day : days) photos.push_back(seen_on(tray, day, {0.01, 0.02}, random));
  std::vector<TrayOnDay> seen;
  for (std::size_t at = 0; at < days.size(); ++at) seen.push_back({days[at], &photos[at]});
  const auto stories = cell_stories(seen);
  int right = 0;
  for (std::size_t cell = 0; cell < stories.size(); ++cell) {
    std::optional<std::size_t> truth;
    for (std::size_t at = days.size(); at-- > 0;)
      if (tray.comes_up[cell] <= days[at]) truth = at;
    right += stories[cell].came_up == truth;
  }
  CHECK(right >= 0.95 * 264);
  std::vector<double> up;
  for (const double day : days)
    up.push_back(
        static_cast<double>(std::ranges::count_if(tray.comes_up, [&](double d) { return d <= day; })));
  const double truth = germination_times({264, days, up}).t50_coolbear,
               found = germination_times(emergence_of(stories, seen, 1)).t50_coolbear;
  CHECK(std::abs(truth - found) < 0.3);
}

TEST_CASE("what a tray has in common is not counted again with each photo") {
  // Of a tray that looks all but empty, a tenth of the cells are doubtful in the first photo and up in the
  // second.
  Tray first = sure_tray({5, 8, LatticeKind::square}, 0), second = first;
  for (std::size_t cell = 0; cell < 40; ++cell) {
    first.cells[cell].probability = {0.97, 0.03}, second.cells[cell].probability = {0.97, 0.03};
    if (cell % 10 == 0)
      first.cells[cell].probability = {0.65, 0.35}, second.cells[cell].probability = {0.05, 0.95};
  }
  const auto joined = cell_stories(std::vector<TrayOnDay>{{5, &first}, {6, &second}});
  CHECK(joined[0].came_up == 0);
  CHECK_FALSE(joined[1].came_up.has_value());
  // By itself, and in a last photo, what is doubtful stays as the counter has it.
  CHECK_FALSE(cell_stories(std::vector<TrayOnDay>{{5, &first}})[0].came_up.has_value());
  CHECK_FALSE(cell_stories(std::vector<TrayOnDay>{{5, &first}, {6, &first}})[1].came_up.has_value());
}

TEST_CASE("a cell that the last photo counts as occupied has come up") {
  Tray before = sure_tray({1, 2, LatticeKind::square}, 0), last = sure_tray({1, 2, LatticeKind::square}, 1);
  for (Cell& cell : before.cells) cell.probability = {0.98, 0.02};
  last.cells[0].probability = {0.5, 0.5};  // counted as occupied all the same
  last.cells[1].probability = {0.9, 0.1};
  const auto stories = cell_stories(std::vector<TrayOnDay>{{5, &before}, {6, &before}, {7, &last}});
  CHECK(stories[0].came_up == 2);
  CHECK_FALSE(stories[1].came_up.has_value());
}

TEST_CASE("what dies back is told from what one photo missed") {
  std::mt19937 random(2);
  std::vector<Tray> photos;
  // Over five photos: cell 0 comes and stays, cell 1 dies back, cell 2 is missed once, cell 3 never comes.
  const char* courses[] = {"01111", "01100", "01011", "00000"};
  std::vector<TrayOnDay> days;
  for (int day = 0; day < 5; ++day) {
    photos.push_back(sure_tray({1, 4, LatticeKind::square}, 0));
    for (std::size_t cell = 0; cell < 4; ++cell)
      if (courses[cell][day] == '1')
        photos.back().cells[cell].probability = {0.05, 0.95};
      else
        photos.back().cells[cell].probability = {0.97, 0.03};
  }
  for (int day = 0; day < 5; ++day) days.push_back({day + 4., &photos[static_cast<std::size_t>(day)]});
  const auto stories = cell_stories(days);
  CHECK(stories[0].came_up == 1);
  CHECK_FALSE(stories[0].died_back.has_value());
  CHECK(stories[1].died_back == 3);
  CHECK(stories[2].came_up == 1);
  CHECK_FALSE(stories[2].died_back.has_value());
  CHECK_FALSE(stories[3].came_up.has_value());
  CHECK_THROWS_AS(cell_stories({}), std::invalid_argument);
}
