// SPDX-License-Identifier: Apache-2.0
// Lots summed up from the ledger against the statistics module and published tables.
#include <doctest/doctest.h>

#include "calibration/ledger/history.h"
#include "calibration/ledger/lot_rates.h"
#include "calibration/ledger/notes.h"
#include "calibration/ledger/summary_json.h"
#include "calibration/rates.h"
#include "tests/ledger/kept_bench.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

// Wilson's equation with Student's t on n + z² − 1 degrees (calibration/rates.h), solved with
// SciPy 1.10.1: 2.005886 for 50 cells, 1.982417 for 104.
TEST_CASE("one tray's gap rate is that of its cells") {
  KeptBench bench;
  bench.keep_tray(sure_tray({5, 10, LatticeKind::square}, 43), "Sorrel 4", "2026-04-01");
  bench.keep_tray(sure_tray({8, 13, LatticeKind::square}, 6), "Tansy 1", "2026-04-01");
  const auto fifty = bench.lot("Sorrel 4").gaps, tray = bench.lot("Tansy 1").gaps;
  REQUIRE(fifty.has_value());
  CHECK(fifty->estimate == doctest::Approx(0.14));
  CHECK(fifty->low == doctest::Approx(0.068394).epsilon(1e-6));
  CHECK(fifty->high == doctest::Approx(0.265230).epsilon(1e-6));
  CHECK(tray->low == doctest::Approx(0.878885).epsilon(1e-6));
  CHECK(tray->high == doctest::Approx(0.973519).epsilon(1e-6));
}

TEST_CASE("rates over trays and sowings are the statistics module's own") {
  KeptBench bench;
  std::mt19937 random(4);
  std::vector<std::vector<CellReading>> readings;
  for (int tray = 0; tray < 6; ++tray) {
    Tray seen = seen_on(grown({.rate = 0.6 + 0.06 * tray}, random), 9, {}, random);
    // The ledger keeps chances as a census in JSON says them: to 0.0001.
    for (Cell& cell : seen.cells)
      for (double& chance : cell.probability) chance = std::round(chance * 1e4) / 1e4;
    readings.push_back(cell_readings(seen, 1));
    bench.keep_tray(seen, "Rowan 12", tray < 3 ? "2026-03-01" : "2026-04-01");
  }
  const LotSummary lot = bench.lot("Rowan 12");
  check_rate(lot.germination, pooled_germination_rate(readings));
  check_rate(lot.gaps, pooled_gap_rate(readings));
  REQUIRE(lot.sowings.size() == 2);
  const std::span all(readings);
  check_rate(lot.sowings[0].germination, pooled_germination_rate(all.subspan(0, 3)));
  check_rate(lot.trend,
             difference(pooled_germination_rate(all.subspan(3)), pooled_germination_rate(all.subspan(0, 3))));
}

TEST_CASE("a lot whose name is no UTF-8 is refused, and one kept before hides no other") {
  KeptBench bench;
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 120), "good", "2026-04-01");
  CHECK_THROWS_AS(bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 100), "Bl\xE9", "2026-04-01"),
                  std::invalid_argument);
  bench.ledger.file().prepare("INSERT INTO lots (name) VALUES (?)").bind("Bl\xE9").run();
  for (int again = 0; again < 2; ++again) CHECK(season(bench.ledger, {}).size() == 2);
}

TEST_CASE("suspicious lots come first, with what speaks against them") {
  KeptBench bench;
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 120), "good", "2026-04-01");
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 70), "poor", "2026-04-01", 10);
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 105), "boasting", "2026-04-01", 10);
  LotFacts pack;
  pack.name = "boasting";
  pack.stated_percent = 97;
  CHECK_FALSE(take_note(bench.ledger, {pack}));
  const auto lots = season(bench.ledger, {});
  REQUIRE(lots.size() == 3);
  CHECK(lots[0].facts.name == "poor");
  REQUIRE(lots[0].suspicions.size() == 1);
  CHECK(lots[0].suspicions[0].find("below the 75 % that the law asks of kale seed") != std::string::npos);
  CHECK(lots[1].facts.name == "boasting");
  CHECK(lots[1].suspicions.at(0).starts_with("The pack states 97 %"));
  CHECK(lots[2].suspicions.empty());
  for (int again = 0; again < 2; ++again)  // the second time from what was kept
    CHECK(summary_json(season(bench.ledger, {})[1]) == summary_json(lots[1]));
}

TEST_CASE("no lot is accused before it can be judged") {
  KeptBench bench;
  const Layout layout{8, 16, LatticeKind::square};
  bench.keep_tray(sure_tray(layout, 40), "young", "2026-04-01", 5);
  CHECK(bench.lot("young").suspicions.empty());
  bench.keep_tray(sure_tray(layout, 120), "both", "2026-03-01", 11, "T1");
  bench.keep_tray(sure_tray(layout, 119), "both", "2026-03-01", 11, "T2");
  bench.keep_tray(sure_tray(layout, 60), "both", "2026-04-01", 5, "T3");
  bench.keep_tray(sure_tray(layout, 62), "both", "2026-04-01", 5, "T4");
  CHECK_FALSE(bench.lot("both").trend.has_value());
  bench.keep_tray(sure_tray(layout, 90), "both", "2026-05-01", 12, "T5");  // as old as it takes
  bench.keep_tray(sure_tray(layout, 92), "both", "2026-05-01", 13, "T6");
  const LotSummary both = bench.lot("both");
  REQUIRE(both.trend.has_value());
  CHECK(both.trend->estimate == doctest::Approx((90. + 92 - 120 - 119) / 256));
  Tray blurred = sure_tray(layout, 40);
  blurred.fit = 0.4;
  bench.keep_tray(blurred, "blurred", "2026-04-01", 12, "T8");
  CHECK(bench.lot("blurred").suspicions.empty());
  bench.keep_tray(sure_tray(layout, 40), "blurred", "2026-04-01", 12, "T7");
  REQUIRE(bench.lot("blurred").suspicions.size() == 1);
  CHECK(bench.lot("blurred").suspicions[0].find("in the trays that are up and counted without doubt") !=
        std::string::npos);
}

TEST_CASE(
    "a tray with seeds in view and nothing up accuses no lot while it may come up, whenever it was sown") {
  KeptBench bench;
  Tray bare = sure_tray({8, 16, LatticeKind::square}, 0);
  const auto accused = [&](const Tray& tray, const char* name, std::optional<std::string> sown_on) {
    keep(bench.ledger, hash_of(name), census_of({tray}, name), {name, std::move(sown_on), {}, true});
    return !bench.lot(name).suspicions.empty();
  };
  CHECK(accused(bare, "bare.jpg", {}));
  bare.seeds_in_view = 0.9;
  CHECK_FALSE(accused(bare, "seeds.jpg", {}));
  const auto kept = read_lot(bench.ledger, "seeds.jpg").sowings.at(0);
  CHECK(kept.trays.at(0).censuses.at(0).tray.seeds_in_view == 0.9);
  CHECK(all_seen_on(kept) == 0);
  note_checks(bench.ledger, find_census(bench.ledger, "seeds.jpg").census, {{0, 1, false}});
  CHECK_FALSE(counted_by_all(find_census(bench.ledger, "seeds.jpg").census).seeds_in_view);
  bench.keep_tray(bare, "long ago", "2026-04-01", 40);
  CHECK_FALSE(bench.lot("long ago").suspicions.empty());
}

TEST_CASE("a tray that still rises past its crop's usual day accuses no lot") {
  KeptBench bench;
  const Layout layout{8, 16, LatticeKind::square};
  for (const auto& [day, up] : {std::pair(8, 2), std::pair(10, 10), std::pair(12, 50)})
    bench.keep_tray(sure_tray(layout, up), "late", "2026-04-01", day, "T1");
  CHECK(bench.lot("late").sowings.at(0).still_rising);
  CHECK(bench.lot("late").suspicions.empty());
  for (const auto& [day, up] : {std::pair(14, 52), std::pair(16, 52), std::pair(18, 52)})
    bench.keep_tray(sure_tray(layout, up), "late", "2026-04-01", day, "T1");
  CHECK_FALSE(bench.lot("late").sowings.at(0).still_rising);
  CHECK(bench.lot("late").suspicions.size() == 1);
}

TEST_CASE("a lot of a crop without a known day is accused once the slowest crop is up") {
  KeptBench bench;
  const auto tray_of = [](std::optional<std::string> crop, int up) {
    Tray tray = sure_tray({8, 16, LatticeKind::square}, up);
    tray.crop = std::move(crop);
    return tray;
  };
  const std::vector<std::pair<const char*, std::optional<std::string>>> lots = {{"D", "dill"}, {"N", {}}};
  for (const auto& [name, crop] : lots) {
    CAPTURE(name);
    const auto keep_two = [&](int up, const std::string& sown, int day) {
      for (int tray = 0; tray < 2; ++tray)
        bench.keep_tray(tray_of(crop, up + tray), name, sown, day, fmt::format("T{}", bench.photos));
    };
    keep_two(118, "2026-02-01", 40);
    keep_two(6, "2026-04-01", 4);
    LotFacts pack;
    pack.name = name, pack.stated_percent = 90;
    take_note(bench.ledger, {pack});
    CHECK(bench.lot(name).suspicions.empty());
    CHECK_FALSE(bench.lot(name).trend.has_value());
    keep_two(12, "2026-04-02", 40);
    CHECK(bench.lot(name).trend.value().high < 0);
  }
  bench.keep_tray(tray_of("dill", 20), "late", "2026-02-01", 40);
  CHECK(bench.lot("late").suspicions.size() == 1);
}

TEST_CASE("seedlings that died back had germinated, for law and pack") {
  KeptBench bench;
  const Layout layout{8, 16, LatticeKind::square};
  const auto keep_days = [&](const char* lot, int most, int left) {
    bench.keep_tray(sure_tray(layout, most - 10), lot, "2026-04-01", 6, lot);
    bench.keep_tray(sure_tray(layout, most), lot, "2026-04-01", 9, lot);
    bench.keep_tray(sure_tray(layout, left), lot, "2026-04-01", 13, lot);
  };
  keep_days("good", 118, 75);
  const LotSummary good = bench.lot("good");
  CHECK(good.germination->estimate == doctest::Approx(75. / 128));
  CHECK(good.suspicions.empty());
  CHECK(good.sowings.at(0).in_the_end.value().estimate > .99 * 108 / 128);  // as seen twice
  keep_days("poor", 70, 50);
  const auto poor = bench.lot("poor").suspicions;
  REQUIRE(poor.size() == 1);
  CHECK(poor[0].starts_with("The whole interval of germination before seedlings died back (46."));
}

TEST_CASE("one tray says nothing of how far trays lie apart, so it makes no trend") {
  KeptBench bench;
  const Layout layout{8, 16, LatticeKind::square};
  bench.keep_tray(sure_tray(layout, 120), "A", "2026-03-01", 11, "T1");
  bench.keep_tray(sure_tray(layout, 119), "A", "2026-03-01", 11, "T2");
  bench.keep_tray(sure_tray(layout, 80), "A", "2026-04-01", 11, "T3");
  CHECK_FALSE(bench.lot("A").trend.has_value());
  bench.keep_tray(sure_tray(layout, 84), "A", "2026-04-01", 11, "T4");
  CHECK(bench.lot("A").trend.has_value());
}

TEST_CASE("a failed tray stays in its lot, and an early photo that is left out is counted as such") {
  KeptBench bench;
  std::mt19937 random(8);
  const auto keep_day = [&](int day, double rate) {
    bench.keep_tray(seen_on(grown({.rate = rate}, random), day, {0, 0.03}, random), "Rowan 12", "2026-04-01",
                    day);
  };
  keep_day(14, 0.03);
  keep_day(15, 0.9);
  CHECK(bench.lot("Rowan 12").tally.trays == 2);
  CHECK(bench.lot("Rowan 12").tally.left_out == 0);
  keep_day(4, 0.03);  // may be either, before it came up
  CHECK(bench.lot("Rowan 12").tally.trays == 2);
  CHECK(bench.lot("Rowan 12").tally.left_out == 1);
}

TEST_CASE("filters by crop and date leave the rest out of the figures") {
  KeptBench bench;
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 128), "A", "2026-03-01");
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 64), "A", "2026-04-01");
  CHECK(season(bench.ledger, {"leek", {}, {}}).empty());
  CHECK(season(bench.ledger, {"kale", {}, {}}).size() == 1);
  CHECK(season(bench.ledger, {{}, "2026-03-15", {}})[0].tally.empty == 64);
  CHECK(season(bench.ledger, {{}, {}, "2026-03-15"})[0].tally.empty == 0);
  CHECK(season(bench.ledger, {{}, "2026-05-01", {}}).empty());
}

TEST_CASE("tags are fresh, and decisions and notes find what they are about") {
  KeptBench bench;
  SowingFacts sowing;
  sowing.layout = {8, 16, LatticeKind::square};
  sowing.sown_on = "2026-04-02";
  const auto tags = new_tagged_trays(bench.ledger, "Rowan 12", "kale", sowing, 101);
  CHECK(tags.front() == "A1");
  CHECK(tags[98] == "A99");
  CHECK(tags.back() == "B2");
  CHECK(new_tagged_trays(bench.ledger, "Rowan 12", "kale", sowing, 1).front() == "B3");
  sowing.topping = "vermiculite";
  LotFacts rowan;
  rowan.name = "Rowan 12";
  take_note(bench.ledger, {rowan, sowing, Decision{"2026-04-12", "2026-04-02", "A1", "filled the gaps"}});
  const KeptLot lot = read_lot(bench.ledger, "rowan 12");
  CHECK(lot.sowings.at(0).facts.topping == "vermiculite");
  CHECK(lot.decisions.at(0).tag == "A1");
  rowan.supplier = "Ebbwater";
  CHECK_THROWS_AS(take_note(bench.ledger, {rowan, {}, Decision{{}, "2026-04-03", {}, "x"}}),
                  std::invalid_argument);
  CHECK_FALSE(read_lot(bench.ledger, "Rowan 12").facts.supplier.has_value());  // all of a note, or nothing
  CHECK_THROWS_WITH(read_lot(bench.ledger, "Rowan 21"), doctest::Contains("it knows Rowan 12"));
}

/// Clusters of beet, one a cell, of which so many gave two plants each.
Tray beet_tray(int alive) {
  Tray tray = sure_tray({8, 16, LatticeKind::square}, alive);
  tray.crop = "beet";
  for (Cell& cell : tray.cells)
    if (cell.count > 0) cell.count = 2, cell.probability = {0, 0, 1};
  return tray;
}

TEST_CASE("of seed clusters, those that gave anything are held against law and pack") {
  KeptBench bench;
  bench.keep_tray(beet_tray(60), "half dead", "2026-04-01", 15);
  bench.keep_tray(beet_tray(108), "alive", "2026-04-01", 15);
  for (const char* name : {"half dead", "alive"}) {
    LotFacts pack;
    pack.name = name, pack.stated_percent = 85;
    CHECK_FALSE(take_note(bench.ledger, {pack}));
  }
  const auto lots = season(bench.ledger, {});
  REQUIRE(lots.at(0).facts.name == "half dead");
  CHECK(lots[0].germination->estimate > .9);  // plants a cluster
  REQUIRE(lots[0].suspicions.size() == 2);
  CHECK(lots[0].suspicions[0].starts_with("The whole interval of clusters that came up ("));
  CHECK(lots[0].suspicions[0].find("below the 65 % that the law asks of beet seed") != std::string::npos);
  CHECK(lots[1].suspicions.empty());
}
