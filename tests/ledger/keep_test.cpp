// SPDX-License-Identifier: Apache-2.0
// Photos kept, corrected, joined and taken back.
#include "calibration/ledger/keep.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "calibration/ledger/history.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/notes.h"
#include "calibration/same_tray.h"
#include "tests/ledger/made_trays.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

namespace {

std::int64_t count_in(const Ledger& ledger, const std::string& table) {
  Statement rows = ledger.file().prepare("SELECT count(*) FROM " + table);
  rows.next();
  return rows.whole(0);
}

const Told kRowan{"Rowan 12", "2026-04-02", std::nullopt};

struct Season {
  LedgerFolder folder;
  std::mt19937 random{3};
  GrownTray tray = grown({}, random);
  Ledger ledger{folder.file(), Access::write};

  Keeping keep_day(int day, const std::string& name, bool upside_down = false, const Told& told = kRowan) {
    Tray seen = seen_on(tray, day, {}, random);
    if (upside_down) seen = half_turned(seen);
    return keep(ledger, hash_of(name),
                census_of({seen}, name, fmt::format("2026-04-{:02}T09:00:00", 2 + day)), told);
  }
};

}  // namespace

TEST_CASE("a photo is kept once: the second time corrects the first") {
  Season season;
  const Keeping first = season.keep_day(7, "a.jpg");
  CHECK_FALSE(first.known_photo);
  REQUIRE(first.trays.size() == 1);
  CHECK(first.trays[0].lot == "Rowan 12");
  CHECK(first.trays[0].photos_of_tray == 1);
  const Keeping again = season.keep_day(7, "a.jpg", false, {"Rowan 13", "2026-04-02", std::nullopt});
  CHECK(again.known_photo);
  for (const char* table : {"photos", "censuses", "trays", "sowings", "lots"}) {
    CAPTURE(table);
    CHECK(count_in(season.ledger, table) == 1);  // nothing of the mistaken lot is left
  }
  Statement lot = season.ledger.file().prepare("SELECT name FROM lots");
  REQUIRE(lot.next());
  CHECK(lot.text(0) == "Rowan 13");
}

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

TEST_CASE("a lot named after its crop takes the name of the crop that is told in its place") {
  Season season;
  Tray seen = seen_on(season.tray, 6, {}, season.random);
  keep(season.ledger, hash_of("a.jpg"), census_of({seen}, "a.jpg"), {});
  CHECK(lot_names(season.ledger, {}) == std::vector<std::string>{"kale"});
  seen.crop = "leek";
  CHECK(keep(season.ledger, hash_of("a.jpg"), census_of({seen}, "a.jpg"), {}).remarks.empty());
  CHECK(lot_names(season.ledger, {}) == std::vector<std::string>{"leek"});
}

TEST_CASE("photos of one tray on several days are one tray, whichever way round") {
  for (const bool upside_down : {false, true}) {
    Season season;
    season.keep_day(6, "a.jpg");
    const Keeping later = season.keep_day(7, "b.jpg", upside_down);
    CHECK(later.trays[0].photos_of_tray == 2);
    CHECK(later.trays[0].turned == upside_down);
    CHECK(count_in(season.ledger, "trays") == 1);
  }
}

TEST_CASE("when half were up is told only where a photo shows fewer") {
  for (const bool early : {true, false}) {
    Season season;
    season.tray = grown({.mean_day = 6.5}, season.random);
    season.keep_day(early ? 6 : 8, "a.jpg");
    season.keep_day(10, "b.jpg");
    const LotSummary lot = summarise(season.ledger, read_lot(season.ledger, "Rowan 12"));
    REQUIRE(lot.sowings.size() == 1);
    CHECK(lot.sowings[0].in_the_end.has_value());
    CHECK(lot.sowings[0].t50.has_value() == early);
    if (early) CHECK(*lot.sowings[0].t50 > 6);
  }
}

TEST_CASE("another tray of the sowing is another tray") {
  Season season;
  for (int round = 0; round < 20; ++round) {
    season.tray = grown({}, season.random);
    CHECK(season.keep_day(7, fmt::format("tray-{}", round)).trays[0].photos_of_tray == 1);
  }
  CHECK(count_in(season.ledger, "trays") == 20);
  CHECK(count_in(season.ledger, "sowings") == 1);
}

TEST_CASE("a tagged tray without its label is joined the right way round, or refused and nothing kept") {
  Season season;
  const Told tagged{"Rowan 12", "2026-04-02", "K7"};
  season.keep_day(6, "a.jpg", false, tagged);
  CHECK(season.keep_day(7, "b.jpg", true, {std::nullopt, std::nullopt, "K7"}).trays[0].turned);
  CHECK(count_in(season.ledger, "lots") == 1);  // the tag tells lot and sowing
  season.tray = grown({}, season.random);       // not that tray at all
  CHECK_THROWS_WITH_AS(season.keep_day(7, "c.jpg", false, tagged),
                       doctest::Contains("not clear which way round tray K7 lies"), std::invalid_argument);
  CHECK(count_in(season.ledger, "photos") == 2);
}

TEST_CASE("a label settles tray, lot, sowing and turn without further asking") {
  Season season;
  season.tray = grown({.rate = 1, .place_spread = 0}, season.random);  // nothing to tell by
  for (int day : {6, 7}) {
    Tray seen = seen_on(season.tray, day, {0, 0}, season.random);
    seen.label = TrayLabel{"K7", "Rowan 12", "kale", "2026-04-02", 1, "plug-128"};
    const Keeping kept = keep(season.ledger, hash_of(std::to_string(day)), census_of({seen}, "x.jpg"), {});
    CHECK(kept.trays[0].tag == "K7");
    CHECK(kept.trays[0].photos_of_tray == static_cast<std::size_t>(day - 5));
  }
  CHECK(known_tray(season.ledger, "K7") == TrayLabel{"K7", "Rowan 12", "kale", "2026-04-02", 1, "8x16"});
  CHECK_FALSE(known_tray(season.ledger, "K8").has_value());
}

TEST_CASE("a tag of a tray of another shape is refused") {
  Season season;
  season.keep_day(6, "a.jpg", false, {"Rowan 12", "2026-04-02", "K7"});
  season.tray = grown({.layout = {6, 12, LatticeKind::square}}, season.random);
  CHECK_THROWS_WITH_AS(season.keep_day(6, "b.jpg", false, {{}, {}, "K7"}),
                       doctest::Contains("has 8 x 16 cells, but this photo shows 6 x 12"),
                       std::invalid_argument);
}

TEST_CASE("a tag used again for a later sowing leaves the former tray where it is") {
  Season season;
  season.keep_day(6, "a.jpg", false, {"Rowan 12", "2026-04-02", "K7"});
  CHECK_THROWS_WITH_AS(season.keep_day(20, "b.jpg", false, {"Sorrel 4", "2026-04-12", "K7"}),
                       doctest::Contains("tag K7 is that of a tray of lot Rowan 12, sown on 2026-04-02"),
                       std::invalid_argument);
  CHECK(known_tray(season.ledger, "K7")->lot == "Rowan 12");
  season.keep_day(6, "a.jpg", false, {"Rowan 12", "2026-04-12", "K7"});  // a day corrected is no other sowing
  CHECK(known_tray(season.ledger, "K7")->sown_on == "2026-04-12");
}

TEST_CASE("what is told otherwise than the ledger has it is noted, and a lot's crop stays") {
  Season season;
  CHECK(season.keep_day(6, "a.jpg", false, {"Rowan 12", "2026-04-02", "K7"}).remarks.empty());
  Tray leek = seen_on(season.tray, 7, {}, season.random);
  leek.crop = "leek";
  const Keeping kept =
      keep(season.ledger, hash_of("b.jpg"), census_of({leek}, "b.jpg"), {"Rowan 12", "2026-04-02", "K7"});
  REQUIRE(kept.remarks.size() == 1);
  CHECK(kept.remarks[0].starts_with("lot Rowan 12 stays kale in the ledger, though leek is told here"));
  CHECK(read_lot(season.ledger, "Rowan 12").facts.crop == "kale");
  LotFacts leeks;
  leeks.name = "Rowan 12";
  leeks.crop = "leek";
  take_note(season.ledger, {leeks});
  CHECK(read_lot(season.ledger, "Rowan 12").facts.crop == "leek");
  const Keeping moved = season.keep_day(8, "c.jpg", false, {"Sorrel 4", "2026-04-02", "K7"});
  REQUIRE(moved.remarks.size() == 1);
  CHECK(moved.remarks[0] == "tray K7 was one of lot Rowan 12; it and its photos now are lot Sorrel 4's");
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

TEST_CASE("chance finds between different trays stay far below what joins them") {
  std::mt19937 random(5);
  double highest = 0;
  for (int pair = 0; pair < 1000; ++pair) {
    const Growing how{.rate = std::uniform_real_distribution<>(0.5, 1)(random)};
    const Tray one = seen_on(grown(how, random), 8, {}, random),
               other = seen_on(grown(how, random), 8, {}, random);
    const TrayMatch match = match_trays(one, other);
    CHECK(match.verdict == SameTray::unsure);
    highest = std::max({highest, match.upright, match.turned});
  }
  CHECK(highest < 14);
  MESSAGE("highest evidence between different trays: ", highest, " nats");
}

TEST_CASE("one tray is known again over days and turns wherever its plants tell") {
  std::mt19937 random(6);
  int known = 0;
  for (int round = 0; round < 300; ++round) {
    const GrownTray tray = grown({.rate = std::uniform_real_distribution<>(0.6, 1)(random)}, random);
    const Tray early = seen_on(tray, 6, {}, random), late = seen_on(tray, 8, {}, random);
    const SameTray upright = match_trays(early, late).verdict,
                   turned = match_trays(early, half_turned(late)).verdict;
    CHECK(upright != SameTray::turned);
    CHECK(turned != SameTray::same);
    known += upright == SameTray::same && turned == SameTray::turned;
  }
  CHECK(known > 285);  // the rest had next to nothing up on the first day
  MESSAGE("known again: ", known, " of 300");
}
