// SPDX-License-Identifier: Apache-2.0
// Photos kept and joined.
#include "calibration/ledger/keep.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "calibration/ledger/history.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/notes.h"
#include "calibration/ledger/transfer.h"
#include "tests/ledger/kept_season.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

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

TEST_CASE("a lot in another case is the same lot, and its first spelling stands") {
  Season season;
  season.keep_day(6, "a.jpg");
  CHECK(season.keep_day(7, "b.jpg", false, {"ROWAN 12", "2026-04-02", {}}).trays.at(0).lot == "Rowan 12");
  CHECK(crop_of_lot(season.ledger, "rowan 12") == "kale");
  CHECK_FALSE(take_note(season.ledger, {{"rowan 12", {}, {}, "Ebbwater", {}, {}, {}}}));
  import_tables(season.ledger, {{"lots", {{"lot", "variety"}, {"rowan 12", "Curly"}}}});
  CHECK(lot_names(season.ledger, {}) == std::vector<std::string>{"Rowan 12"});
  CHECK(read_lot(season.ledger, "rowan 12").facts.supplier == "Ebbwater");
  CHECK(read_lot(season.ledger, "rowan 12").facts.variety == "Curly");
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

TEST_CASE("what two trays of a photo are told otherwise is noted once") {
  Season season;
  season.keep_day(6, "a.jpg", false, {"Rowan 12", "2026-04-02", {}});
  Tray leek = seen_on(season.tray, 7, {}, season.random);
  leek.crop = "leek";
  const Keeping kept =
      keep(season.ledger, hash_of("b.jpg"), census_of({leek, leek}, "b.jpg"), {"Rowan 12", "2026-04-20", {}});
  CHECK(kept.trays.size() == 2);
  CHECK(kept.remarks.size() == 1);
}

TEST_CASE("a new lot that is spelt nearly like an old one is asked about, one with another number is not") {
  Season season;
  season.keep_day(6, "a.jpg", false, {"Rowan 12", "2026-04-02", {}});
  const auto remarks_on = [&](const char* photo, const char* lot) {
    return season.keep_day(6, photo, false, {lot, "2026-04-02", {}}).remarks;
  };
  for (const char* other : {"Rowan 13", "Rowan", "Sorrel 12", "rowan 12"})
    CHECK(remarks_on(other, other).empty());
  const auto slip = remarks_on("b.jpg", "Rowen 12");
  REQUIRE(slip.size() == 1);
  CHECK(slip[0] ==
        "lot Rowen 12 is new; if Rowan 12 was meant, keep the photo again with --lot \"Rowan 12\"");
  for (const char* other : {"Rowan12", "ROWAN-12"}) CHECK(remarks_on(other, other).size() == 1);
  CHECK(remarks_on("c.jpg", "Rowen 12").empty());   // no longer new
  CHECK(remarks_on("b.jpg", "Rowann 12").empty());  // a photo put right
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
