// SPDX-License-Identifier: Apache-2.0
// What is held against a lot, and from when on.
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
