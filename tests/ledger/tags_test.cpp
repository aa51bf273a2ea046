// SPDX-License-Identifier: Apache-2.0
// Trays that get a tag, another one, or one in another case.
#include <doctest/doctest.h>

#include "calibration/ledger/history.h"
#include "calibration/ledger/notes.h"
#include "calibration/ledger/transfer.h"
#include "tests/ledger/kept_season.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

TEST_CASE("a tray that gets its tag after a few photos keeps them, whether told or by its label") {
  for (const bool again : {true, false})
    for (const bool printed : {true, false})
      for (const bool labelled : {true, false}) {
        Season season;
        if (printed)
          new_tagged_trays(season.ledger, "Rowan 12", "kale",
                           {"2026-04-02", {8, 16, LatticeKind::square}, 1, {}, {}, {}}, 1);
        season.keep_day(6, "a.jpg");
        season.keep_day(7, "b.jpg");
        note_checks(season.ledger, find_census(season.ledger, "a.jpg").census, {{3, 1, false}});
        const Tray before = find_census(season.ledger, "a.jpg").census.tray;
        Tray seen = half_turned(seen_on(season.tray, 8, {}, season.random));
        if (labelled) seen.label = TrayLabel{"A1", {}, {}, {}, {}, {}};
        const std::string name = again ? "b.jpg" : "c.jpg";
        const Keeping kept = keep(season.ledger, hash_of(name), census_of({seen}, name, "2026-04-10"),
                                  {"Rowan 12", "2026-04-02", labelled ? std::nullopt : std::optional("A1")});
        CHECK(kept.trays.at(0).tag == "A1");
        CHECK(kept.trays[0].photos_of_tray == (again ? 2 : 3));
        CHECK(kept.trays[0].turned != labelled);
        CHECK(count_in(season.ledger, "trays") == 1);
        const FoundCensus first = find_census(season.ledger, "a.jpg");
        CHECK(first.tag == "A1");
        CHECK(first.census.checks.at(0).cell == (labelled ? 124 : 3));
        CHECK(first.census.tray.cells[0].centre_px.x == before.cells[labelled ? 127 : 0].centre_px.x);
        const Tray& now = find_census(season.ledger, name).census.tray;
        CHECK(match_trays(first.census.tray, now).verdict == SameTray::same);
      }
}

TEST_CASE("a photo that gets another tag leaves its tray's other photos there, which is said") {
  Season season;
  const auto keep_as = [&](int day, const char* tag) {
    return season.keep_day(day, std::to_string(day), false, {"Rowan 12", "2026-04-02", tag});
  };
  keep_as(6, "K7"), keep_as(7, "K7");
  const Keeping moved = keep_as(7, "K9");
  CHECK(moved.trays.at(0).photos_of_tray == 1);
  CHECK(moved.remarks == std::vector<std::string>{"tray K7, which it was one of, keeps its other photos; "
                                                  "keep those with --tag K9, too, if K7 was wrong"});
  const Keeping last = keep_as(6, "K9");
  CHECK(last.trays.at(0).photos_of_tray == 2);
  CHECK(last.remarks.empty());
}

TEST_CASE("a tag in another case is the same tray's, and its first spelling stands") {
  Season season;
  season.keep_day(6, "a.jpg", false, {"Rowan 12", "2026-04-02", "t-07"});
  Tray seen = seen_on(season.tray, 7, {}, season.random);
  seen.label = TrayLabel{"T-07", {}, {}, {}, {}, {}};
  const Keeping kept = keep(season.ledger, hash_of("b"), census_of({seen}, "b.jpg"), {});
  CHECK(kept.trays.at(0).tag == "t-07");
  CHECK(kept.trays[0].photos_of_tray == 2);
  CHECK(kept.trays[0].lot == "Rowan 12");
  CHECK(count_in(season.ledger, "trays") == 1);
  CHECK(find_census(season.ledger, "T-07").tag == "t-07");
  take_note(season.ledger, {{"Rowan 12", {}, {}, {}, {}, {}, {}}, {}, Decision{{}, {}, "T-07", "filled"}});
  CHECK(read_lot(season.ledger, "Rowan 12").decisions.at(0).tag == "t-07");
  import_tables(season.ledger, {{"lots", {{"lot"}, {"Rowan 12"}}},
                                {"sowings", export_table(season.ledger, "sowings")},
                                {"trays", {{"tray", "sowing", "tag"}, {"1", "1", "T-07"}}}});
  CHECK(count_in(season.ledger, "trays") == 1);
}

TEST_CASE("a ledger in which both spellings of a tag are two trays keeps them apart") {
  Season season;
  season.keep_day(6, "a.jpg", false, {"Rowan 12", "2026-04-02", "t-07"});
  season.keep_day(6, "b.jpg", false, {"Sorrel 4", "2026-04-02", "X"});
  season.ledger.file().run("UPDATE trays SET tag = 'T-07' WHERE tag = 'X'");
  CHECK(known_tray(season.ledger, "t-07")->lot == "Rowan 12");
  CHECK(known_tray(season.ledger, "T-07")->lot == "Sorrel 4");
}
