// SPDX-License-Identifier: Apache-2.0
// Photos corrected, and taken back.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include "calibration/ledger/history.h"
#include "calibration/ledger/keep.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/notes.h"
#include "tests/ledger/all_tables.h"
#include "tests/ledger/kept_season.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

TEST_CASE("a lot, day or seeds corrected photo by photo leave one tray, and a photo put back returns to it") {
  Season season;
  const std::vector<std::string> names = {"a.jpg", "b.jpg", "c.jpg", "d.jpg"};
  const auto keep_at = [&](int at, const Told& told) {
    return season.keep_day(6 + at, names[static_cast<std::size_t>(at)], at == 2, told)
        .trays[0]
        .photos_of_tray;
  };
  for (const Told& told : {kRowan, Told{"Rowen 12", {}, {}}, kRowan, Told{{}, "2026-04-01", {}}}) {
    for (int at = 0; at < 4; ++at) CHECK(keep_at(at, told) == static_cast<std::size_t>(at + 1));
    for (const char* table : {"trays", "sowings", "lots"}) CHECK(count_in(season.ledger, table) == 1);
  }
  for (int at = 0; at < 4; ++at) {
    CHECK(keep_at(at, {"Rowen 12", {}, {}}) == 1);
    CHECK(keep_at(at, {"Rowan 12", {}, {}}) == 4);
    for (const char* table : {"trays", "sowings", "lots"}) CHECK(count_in(season.ledger, table) == 1);
  }
}

TEST_CASE("what is not told again of a kept photo stays as it was") {
  Season season;
  const auto known = [&] {
    const KnownPhoto photo = known_photo(season.ledger, hash_of("a.jpg"));
    REQUIRE(photo.trays.size() == 1);
    CHECK(photo.taken == "2026-04-08T09:00:00");
    return photo.trays[0];
  };
  Tray seen = seen_on(season.tray, 6, {}, season.random);
  const auto keep_seen = [&](const Told& told, const std::string& taken = "") {
    keep(season.ledger, hash_of("a.jpg"), census_of({seen}, "a.jpg", taken), told);
  };
  keep_seen({"Rowan 12", "2026-04-02", "K7"}, "2026-04-08T09:00:00");
  season.keep_day(7, "b.jpg", true, {{}, {}, "K7"});
  seen.crop.reset(), seen.seeds_per_cell.reset();
  keep_seen({});
  CHECK(known() == TrayLabel{"K7", "Rowan 12", "kale", "2026-04-02", 1, "8x16"});
  keep_seen({{}, "2026-04-03", {}});
  CHECK(known() == TrayLabel{"K7", "Rowan 12", "kale", "2026-04-03", 1, "8x16"});
  keep_seen({{}, {}, "K8"});
  CHECK(known() == TrayLabel{"K8", "Rowan 12", "kale", "2026-04-03", 1, "8x16"});
  CHECK(count_in(season.ledger, "sowings") == 1);  // the one of the former day is gone
}

TEST_CASE("what was noted of a sowing goes along when its day is corrected, here and by a table") {
  Season season;
  season.keep_day(6, "a.jpg");
  season.keep_day(7, "b.jpg");
  SowingFacts warm;
  warm.sown_on = "2026-04-02", warm.temperature_c = 12;
  take_note(season.ledger,
            {{"Rowan 12", {}, {}, {}, {}, {}, {}}, warm, Decision{{}, "2026-04-02", {}, "wait"}});
  Ledger other(season.folder.file("other"), Access::write);
  import_tables(other, all_tables(season.ledger));
  for (int day : {6, 7}) season.keep_day(day, day == 6 ? "a.jpg" : "b.jpg", false, {{}, "2026-04-01", {}});
  import_tables(other, all_tables(season.ledger));
  for (const Ledger* ledger : {&season.ledger, &other}) {
    const KeptLot lot = read_lot(*ledger, "Rowan 12");
    REQUIRE(lot.sowings.size() == 1);
    CHECK(lot.sowings[0].facts.sown_on == "2026-04-01");
    CHECK(lot.sowings[0].facts.temperature_c == 12);
    REQUIRE(lot.decisions.size() == 1);
    CHECK(lot.decisions[0].sown_on == "2026-04-01");
  }
}

TEST_CASE("a lot named after its crop takes the name of the crop that is told in its place") {
  Season season;
  Tray seen = seen_on(season.tray, 6, {}, season.random);
  keep(season.ledger, hash_of("a.jpg"), census_of({seen}, "a.jpg"), {});
  CHECK(lot_names(season.ledger, {}) == std::vector<std::string>{"kale"});
  seen.crop = "leek";
  CHECK(keep(season.ledger, hash_of("a.jpg"), census_of({seen}, "a.jpg"), {}).remarks.empty());
  CHECK(lot_names(season.ledger, {}) == std::vector<std::string>{"leek"});
}

TEST_CASE("the last run's steps are taken back, and the one before then") {
  Season season;
  season.keep_day(7, "a.jpg");
  CHECK(count_in(season.ledger, "photos") == 1);
  {
    Ledger next(season.folder.file(), Access::write);
    for (int round = 0; round < 3; ++round) {
      const Tray seen = seen_on(grown({}, season.random), 7, {}, season.random);
      keep(next, hash_of(fmt::format("n{}", round)), census_of({seen}, "n.jpg"), {"Sorrel 4", {}, {}});
    }
    CHECK(count_in(next, "photos") == 4);
    CHECK(next.undo() == std::vector<std::string>{"kept n.jpg", "kept n.jpg", "kept n.jpg"});
    CHECK(count_in(next, "photos") == 1);
    CHECK(count_in(next, "lots") == 1);
    CHECK(next.undo() == std::vector<std::string>{"kept a.jpg"});
    CHECK(count_in(next, "lots") == 0);
    CHECK(next.undo().empty());
  }
}

TEST_CASE("of a run that another one broke into only what came since is taken back") {
  Season season;
  season.keep_day(6, "a.jpg");
  {
    Ledger other(season.folder.file(), Access::write);
    note_checks(other, find_census(other, "a.jpg").census, {{3, 1, false}});
  }
  season.keep_day(7, "b.jpg");
  const auto undo = [&] { return Ledger(season.folder.file(), Access::write).undo(); };
  CHECK(undo() == std::vector<std::string>{"kept b.jpg"});
  CHECK(find_census(season.ledger, "a.jpg").census.checks.size() == 1);
  CHECK(undo() == std::vector<std::string>{"noted 1 hand count of a.jpg"});
  CHECK(undo() == std::vector<std::string>{"kept a.jpg"});
}

TEST_CASE("a step that changes nothing is the one that is taken back, and costs no older one") {
  Season season;
  const Census census = census_of({seen_on(season.tray, 7, {}, season.random)}, "a.jpg");
  const auto next = [&] { return Ledger(season.folder.file(), Access::write); };
  for (int round = 0; round < 8; ++round) {
    Ledger run = next();
    keep(run, hash_of("a.jpg"), census, kRowan);
  }
  for (int round = 0; round < 7; ++round)
    CHECK(next().undo() == std::vector<std::string>{"kept a.jpg, which had changed nothing"});
  CHECK(count_in(season.ledger, "photos") == 1);
  CHECK(next().undo() == std::vector<std::string>{"kept a.jpg"});
  CHECK(count_in(season.ledger, "photos") == 0);
}

TEST_CASE("taking back a correction brings the former census back") {
  Season season;
  season.keep_day(7, "a.jpg");
  Statement counts = season.ledger.file().prepare("SELECT counts, file FROM censuses, photos");
  REQUIRE(counts.next());
  const Bytes before = counts.bytes(0);
  Ledger next(season.folder.file(), Access::write);
  const Tray other = seen_on(grown({}, season.random), 9, {}, season.random);
  keep(next, hash_of("a.jpg"), census_of({other, other}, "moved/a.jpg"), {"Sorrel 4", {}, {}});
  CHECK(count_in(next, "censuses") == 2);
  next.undo();
  CHECK(count_in(next, "censuses") == 1);
  Statement after = next.file().prepare("SELECT counts, file FROM censuses, photos");
  REQUIRE(after.next());
  CHECK(after.bytes(0) == before);
  CHECK(after.text(1) == "a.jpg");
}

namespace {

/// A photo of one tray with two hand counts, in its cells 3 and 100.
struct CheckedPhoto {
  LedgerFolder folder;
  Ledger ledger{folder.file(), Access::write};
  Tray tray = sure_tray({8, 16, LatticeKind::square}, 60);

  CheckedPhoto() {
    keep_as(tray);
    note_checks(ledger, find_census(ledger, "a.jpg").census, {{3, 7, true}, {100, 9, false}});
  }
  std::vector<std::string> keep_as(const Tray& now) {
    return keep(ledger, hash_of("a.jpg"), census_of({now}, "a.jpg"), {"Rowan 12", {}, "K7"}).remarks;
  }
  std::map<int, int> checks() const {
    std::map<int, int> found;
    for (const HandCheck& check : find_census(ledger, "a.jpg").census.checks)
      found[check.cell] = check.seedlings;
    return found;
  }
};

}  // namespace

TEST_CASE("hand counts go along with their cells where the photo's tray is numbered from the other end") {
  CheckedPhoto photo;
  CHECK(photo.keep_as(photo.tray).empty());
  CHECK(photo.checks() == std::map<int, int>{{3, 7}, {100, 9}});
  Tray turned = half_turned(photo.tray);
  turned.label = TrayLabel{"K7", {}, {}, {}, {}, {}};
  CHECK(photo.keep_as(turned).empty());
  CHECK(photo.checks() == std::map<int, int>{{124, 7}, {27, 9}});
}

TEST_CASE("hand counts of cells that the tray no longer has are dropped, and that is said") {
  const std::vector<std::string> said = {
      "2 hand counts of it were dropped, since the cells now lie elsewhere in the photo; count again with "
      "braird check"};
  for (const Layout& layout : {Layout{8, 16, LatticeKind::staggered}, Layout{8, 15, LatticeKind::square}}) {
    CheckedPhoto photo;
    keep(photo.ledger, hash_of("a.jpg"), census_of({photo.tray}, "a.jpg"), {});
    photo.ledger.file().run("UPDATE trays SET tag = NULL");
    CHECK(keep(photo.ledger, hash_of("a.jpg"), census_of({sure_tray(layout, 60)}, "a.jpg"), {}).remarks ==
          said);
    CHECK(photo.checks().empty());
  }
  CheckedPhoto photo;
  for (Point& corner : photo.tray.corners_px) corner.x += photo.tray.pitch_px;
  CHECK(photo.keep_as(photo.tray) == said);
  CHECK(photo.checks().empty());
}

TEST_CASE("hand counts of cells that the tray no longer has go when a table says so, too") {
  CheckedPhoto photo;
  photo.ledger.file().run("UPDATE trays SET tag = NULL");
  Ledger other(photo.folder.file("other"), Access::write);
  keep(other, hash_of("a.jpg"), census_of({sure_tray({8, 15, LatticeKind::square}, 60)}, "a.jpg"),
       {"Rowan 12", {}, {}});
  import_tables(photo.ledger, all_tables(other));
  CHECK(find_census(photo.ledger, "a.jpg").census.tray.layout.cols == 15);
  CHECK(photo.checks().empty());
}

TEST_CASE("a lot that was corrected on another computer is corrected by what that exports") {
  const std::optional<std::string> tags[] = {std::nullopt, "K7"};
  for (const auto& tag : tags) {
    Season season;
    season.keep_day(6, "a.jpg", false, {"Rowan 12", "2026-04-02", tag});
    season.keep_day(7, "b.jpg", false, {"Rowan 12", "2026-04-02", tag});
    Ledger other(season.folder.file("other"), Access::write);
    import_tables(other, all_tables(season.ledger));
    for (const char* name : {"a.jpg", "b.jpg"})
      keep(other, hash_of(name), census_of({find_census(other, name).census.tray}, name),
           {"Rowan 13", {}, {}});
    import_tables(season.ledger, all_tables(other));
    CHECK(lot_names(season.ledger, {}) == std::vector<std::string>{"Rowan 13"});
    CHECK(read_lot(season.ledger, "Rowan 13").sowings.at(0).trays.at(0).censuses.size() == 2);
    for (const char* table : {"trays", "sowings", "lots"}) CHECK(count_in(season.ledger, table) == 1);
  }
}
