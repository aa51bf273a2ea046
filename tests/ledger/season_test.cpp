// SPDX-License-Identifier: Apache-2.0
// Lots summed up from the ledger against the statistics module and published tables.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include "calibration/checked_cells.h"
#include "calibration/counter_error.h"
#include "calibration/ledger/check_plan.h"
#include "calibration/ledger/keep.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/notes.h"
#include "calibration/ledger/summary_json.h"
#include "calibration/lot_report.h"
#include "calibration/rates.h"
#include "tests/ledger/made_trays.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

namespace {

struct Bench {
  LedgerFolder folder;
  Ledger ledger{folder.file(), Access::write};
  int photos = 0;

  void keep_tray(const Tray& tray, const std::string& lot, const std::string& sown, int day = 7,
                 std::optional<std::string> tag = {}) {
    const std::string name = fmt::format("photo-{}.jpg", ++photos);
    keep(ledger, hash_of(name),
         census_of({tray}, name,
                   fmt::format("{}T12:00:00",
                               sown.substr(0, 8) + fmt::format("{:02}", std::stoi(sown.substr(8)) + day))),
         {lot, sown, std::move(tag), true});
  }
  LotSummary lot(const std::string& name) { return summarise(ledger, read_lot(ledger, name)); }
};

void check_rate(const std::optional<Estimate>& rate, const Estimate& expected) {
  REQUIRE(rate.has_value());
  CHECK(rate->estimate == doctest::Approx(expected.estimate).epsilon(1e-9));
  CHECK(rate->low == doctest::Approx(expected.low).epsilon(1e-9));
  CHECK(rate->high == doctest::Approx(expected.high).epsilon(1e-9));
  CHECK(rate->method == expected.method);
}

}  // namespace

// Wilson's equation with Student's t on n + z² − 1 degrees (calibration/rates.h), solved with
// SciPy 1.10.1: 2.005886 for 50 cells, 1.982417 for 104.
TEST_CASE("one tray's gap rate is that of its cells") {
  Bench bench;
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
  Bench bench;
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

TEST_CASE("suspicious lots come first, with what speaks against them") {
  Bench bench;
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 120), "good", "2026-04-01");
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 70), "poor", "2026-04-01");
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 105), "boasting", "2026-04-01");
  LotFacts pack;
  pack.name = "boasting";
  pack.stated_percent = 97;
  note_lot(bench.ledger, pack);
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

TEST_CASE("filters by crop and date leave the rest out of the figures") {
  Bench bench;
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 128), "A", "2026-03-01");
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 64), "A", "2026-04-01");
  CHECK(season(bench.ledger, {"leek", {}, {}}).empty());
  CHECK(season(bench.ledger, {"kale", {}, {}}).size() == 1);
  CHECK(season(bench.ledger, {{}, "2026-03-15", {}})[0].tally.empty == 64);
  CHECK(season(bench.ledger, {{}, {}, "2026-03-15"})[0].tally.empty == 0);
  CHECK(season(bench.ledger, {{}, "2026-05-01", {}}).empty());
}

TEST_CASE("cells checked at random correct the lot, and other lots of that crop and shape") {
  Bench bench;
  std::mt19937 random(8);
  // The counter sees only four of five seedlings; by hand all are found.
  const auto dim = [&](const GrownTray& tray) {
    Tray seen = seen_on(tray, 9, {0, 0.02}, random);
    for (Cell& cell : seen.cells)
      if (cell.count == 1 && std::bernoulli_distribution(0.2)(random)) {
        cell.count = 0;
        cell.probability = {1, 0};
      }
    return seen;
  };
  const GrownTray first = grown({.rate = 0.9}, random), second = grown({.rate = 0.9}, random);
  bench.keep_tray(dim(first), "checked", "2026-04-01", 9);
  bench.keep_tray(dim(second), "other", "2026-04-01", 9);
  const FoundCensus found = find_census(bench.ledger, "photo-1.jpg");
  std::vector<HandCheck> checks;
  for (const CheckProposal& proposal : propose_checks(found.census, 40, 0))
    checks.push_back(
        {proposal.cell, first.comes_up[static_cast<std::size_t>(proposal.cell)] <= 9 ? 1 : 0, true});
  CHECK(checks.size() == 40);
  note_checks(bench.ledger, found.census, checks);
  const LotSummary own = bench.lot("checked"), other = bench.lot("other");
  CHECK(own.error_checks == 40);
  CHECK(other.error_checks == 40);
  check_rate(own.germination, checked_germination_rate(as_lot(read_lot(bench.ledger, "checked"))));
  CounterChecks all = counter_checks(bench.ledger, "kale", {8, 16, LatticeKind::square});
  std::vector<double> counted;
  for (const CellReading& cell : cell_readings(find_census(bench.ledger, "photo-2.jpg").census.tray, 1))
    counted.push_back(cell.seedlings);
  Estimate expected = prediction_powered_mean(all.seedlings, counted).mean;
  CHECK(other.germination->estimate == doctest::Approx(expected.estimate));
  CHECK(other.germination->low == doctest::Approx(expected.low));
  CHECK(other.germination->estimate > 0.78);  // seen: about 0.72
  // A tray of another shape is left as it is.
  bench.keep_tray(sure_tray({5, 10, LatticeKind::square}, 43), "small", "2026-04-01");
  CHECK(bench.lot("small").error_checks == 0);
}

TEST_CASE("one sowing of a lot, with too few checks for a correction, is taken as it was counted") {
  Bench bench;
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 100), "Rowan 12", "2026-04-01", 9);
  note_checks(bench.ledger, find_census(bench.ledger, "").census, {{3, 1, true}});
  const KeptLot kept = read_lot(bench.ledger, "Rowan 12");
  const Lot lot = as_lot(kept, {&kept.sowings.front(), 1});
  CHECK(lot.checked.empty());
  CHECK(report_on(lot).germination_rate->estimate == doctest::Approx(100 / 128.));
}

TEST_CASE("checked clusters may give more seedlings than seeds, single seeds may not") {
  Bench bench;
  for (const std::string crop : {"beet", "kale"}) {
    Tray tray = sure_tray({8, 16, LatticeKind::square}, 128);
    tray.crop = crop;
    for (Cell& cell : tray.cells) cell.count = 2, cell.probability = {0, 0, 1};
    bench.keep_tray(tray, crop, "2026-04-01", 9);
    const KeptCensus census = find_census(bench.ledger, "").census;
    std::vector<HandCheck> checks;
    for (int cell = 0; cell < 20; ++cell) checks.push_back({cell, cell % 2 == 0 ? 2 : 3, true});
    note_checks(bench.ledger, census, checks);
    const LotSummary lot = bench.lot(crop);
    CHECK(lot.error_checks == 20);
    CHECK(lot.germination->estimate == doctest::Approx(crop == "beet" ? 2.5 : 1));
    CHECK((as_lot(read_lot(bench.ledger, crop)).seed == SeedKind::cluster) == (crop == "beet"));
  }
}

TEST_CASE("a counter that agrees with every checked cell of two seeds moves no other lot") {
  Bench bench;
  for (const std::string crop : {"beet", "kale"}) {
    Tray tray = sure_tray({8, 16, LatticeKind::square}, 128);
    tray.crop = crop;
    tray.seeds_per_cell = 2;
    for (Cell& cell : tray.cells) cell.count = cell.col % 4, cell.probability = {};
    bench.keep_tray(tray, crop + " other", "2026-04-01", 9);
    const double before = bench.lot(crop + " other").germination->estimate;
    bench.keep_tray(tray, crop + " checked", "2026-04-01", 9);
    std::vector<HandCheck> checks;
    for (int cell = 0; cell < 16; ++cell) checks.push_back({cell, cell % 4, true});
    note_checks(bench.ledger, find_census(bench.ledger, "").census, checks);
    const LotSummary other = bench.lot(crop + " other");
    CHECK(other.error_checks == 16);
    CHECK(other.germination->estimate == doctest::Approx(before));
  }
}

TEST_CASE(
    "cells proposed for a check stay the same until they are counted, and are then not proposed again") {
  Bench bench;
  std::mt19937 random(12);
  bench.keep_tray(seen_on(grown({}, random), 9, {}, random), "A", "2026-04-01");
  const FoundCensus found = find_census(bench.ledger, "");
  const auto first = propose_checks(found.census, 16, 4), again = propose_checks(found.census, 16, 4);
  CHECK(first.size() == 20);
  std::vector<HandCheck> checks;
  for (std::size_t at = 0; at < first.size(); ++at) {
    CHECK(first[at].cell == again[at].cell);
    checks.push_back({first[at].cell, 1, first[at].drawn});
  }
  note_checks(bench.ledger, found.census, checks);
  for (const CheckProposal& next : propose_checks(find_census(bench.ledger, "").census, 16, 4))
    for (const HandCheck& done : checks) CHECK(next.cell != done.cell);
  CHECK(propose_checks(find_census(bench.ledger, "").census, 1000, 1000).size() == 108);
  CHECK_THROWS_AS(note_checks(bench.ledger, found.census, {{128, 1, false}}), std::invalid_argument);
  CHECK_THROWS_AS(note_checks(bench.ledger, found.census, {{0, -1, false}}), std::invalid_argument);
}

TEST_CASE("tags are fresh, and decisions and notes find what they are about") {
  Bench bench;
  SowingFacts sowing;
  sowing.layout = {8, 16, LatticeKind::square};
  sowing.sown_on = "2026-04-02";
  const auto tags = new_tagged_trays(bench.ledger, "Rowan 12", "kale", sowing, 101);
  CHECK(tags.front() == "A1");
  CHECK(tags[98] == "A99");
  CHECK(tags.back() == "B2");
  CHECK(new_tagged_trays(bench.ledger, "Rowan 12", "kale", sowing, 1).front() == "B3");
  sowing.topping = "vermiculite";
  note_sowing(bench.ledger, "Rowan 12", sowing);
  note_decision(bench.ledger, "Rowan 12", {"2026-04-12", "2026-04-02", "A1", "filled the gaps"});
  const KeptLot lot = read_lot(bench.ledger, "rowan 12");
  CHECK(lot.sowings.at(0).facts.topping == "vermiculite");
  CHECK(lot.decisions.at(0).tag == "A1");
  CHECK_THROWS_AS(note_decision(bench.ledger, "Rowan 12", {{}, "2026-04-03", {}, "x"}),
                  std::invalid_argument);
  CHECK_THROWS_WITH(read_lot(bench.ledger, "Rowan 21"), doctest::Contains("it knows Rowan 12"));
}
