// SPDX-License-Identifier: Apache-2.0
#include "calibration/finding_words.h"

#include <doctest/doctest.h>

#include <set>
#include <stdexcept>

#include "calibration/gap_map.h"

using namespace braird;

TEST_CASE("what a part of a tray shows, against the rest, and what to check") {
  CHECK(part_sentence("row 3", {100, 20, 10, 8}, "look there") ==
        "Row 3 has 80 % gaps (8 of 10), the rest 13 %: look there.");
  CHECK(part_sentence("the edge", {30, 0, 30, 0}, "nothing") ==
        "The edge has 0 % gaps (0 of 30), the rest 0 %: nothing.");
}

TEST_CASE("clumps, runs and repeated places, whole") {
  JoinCount joined;
  joined.seen = 14;
  joined.expected = {5.2, 3};
  CHECK(clump_sentence(joined) ==
        "Gaps lie together: 14 pairs of touching gaps where 5 are usual: look for dry or cold patches, slugs "
        "or "
        "mice, or an uneven cover.");
  CHECK(run_sentence(6, "from row 2, column 1 on") ==
        "6 gaps in a row from row 2, column 1 on: check whether the sower ran empty or stuck there.");
  CHECK(
      repeated_sentence("row 1, column 7", 5, 6, .84) ==
      "Row 1, column 7 stayed empty in 5 of 6 trays, where about 0.8 would by chance: look for a jammed hole "
      "or nozzle there.");
}

TEST_CASE("each cause is its own") {
  const Part bad = {100, 10, 10, 9}, mild = {100, 20, 10, 5};
  const std::set<std::string> causes = {edge_cause(true),
                                        edge_cause(false),
                                        corner_cause(),
                                        line_cause(FindingKind::row, bad, false, true),
                                        line_cause(FindingKind::column, bad, false, true),
                                        line_cause(FindingKind::column, bad, true, false),
                                        line_cause(FindingKind::row, bad, true, true)};
  CHECK(causes.size() == 7);
  // A line that is only half empty shows no lattice off the tray, nor does one among many gaps.
  CHECK(line_cause(FindingKind::row, mild, true, true) == line_cause(FindingKind::row, mild, false, true));
  const Part all_bad = {100, 80, 10, 10};
  CHECK(line_cause(FindingKind::row, all_bad, true, true) ==
        line_cause(FindingKind::row, all_bad, false, true));
}

TEST_CASE("places are named as their reader counts") {
  TrayMap tray;
  tray.layout = {2, 3};
  CHECK(place_name(tray, 0) == "row 1, column 1");
  CHECK(place_name(tray, 5) == "row 2, column 3");
  tray.first_number = 0;
  CHECK(place_name(tray, 5) == "row 1, column 2");
  CHECK(corner_name(false, true) == "the corner of the first rows and last columns");
}

TEST_CASE("a gap map tells empty, filled and unsown apart, and refuses cells that don't fit") {
  TrayMap tray;
  tray.layout = {2, 2};
  tray.cells = {{0, 2}, {1, 2}, {0, 0}, {0, 1}};
  const GapMap map = gap_map(tray);
  CHECK(map.labels == std::vector<int>{1, 0, -1, 1});
  CHECK(map.cells == 3);
  CHECK(map.empty == 2);
  CHECK(map.at(1, 1) == 1);
  tray.layout = {2, 3};
  CHECK_THROWS_WITH_AS(gap_map(tray), "number of cells is 4, but must be 2 × 3", std::invalid_argument);
}

TEST_CASE("findings below the level stay, the most telling first") {
  std::vector<Finding> looks(4);
  for (std::size_t at = 0; at < 4; ++at) {
    looks[at].p_value = std::vector{.2, .001, .012, .0101}[at];
    looks[at].place = std::string(1, static_cast<char>('a' + at));
  }
  const auto kept = adjusted_below(looks, holm, .05);
  REQUIRE(kept.size() == 3);
  CHECK(kept[0].place == "b");
  CHECK(kept[0].p_adjusted == doctest::Approx(.004));
  CHECK(kept[1].place == "d");
  CHECK(kept[1].p_adjusted == doctest::Approx(3 * .0101));
  CHECK(kept[2].p_adjusted == doctest::Approx(3 * .0101));  // never below the one before
  CHECK(adjusted_below({}, holm, .05).empty());
  CHECK_THROWS_AS(adjusted_below(looks, holm, 0), std::invalid_argument);
}

TEST_CASE("every kind of finding has its name") {
  std::set<std::string> names;
  for (const FindingKind kind :
       {FindingKind::edge, FindingKind::row, FindingKind::column, FindingKind::corner, FindingKind::clump,
        FindingKind::run, FindingKind::repeated_place})
    names.insert(name_of(kind));
  CHECK(names.size() == 7);
}
