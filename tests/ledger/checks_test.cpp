// SPDX-License-Identifier: Apache-2.0
// Cells counted by hand, and what they make of the rates.
#include <map>

#include "calibration/checked_cells.h"
#include "calibration/ledger/check_plan.h"
#include "calibration/ledger/notes.h"
#include "calibration/ledger/tray_course.h"
#include "calibration/lot_report.h"
#include "calibration/rates.h"
#include "tests/ledger/kept_bench.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

TEST_CASE("cells checked at random correct the lot, and other lots of that crop and shape") {
  KeptBench bench;
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
  const auto all = counter_checks(bench.ledger, {"kale", {8, 16, LatticeKind::square}, 1});
  CHECK(all.size() == 40);
  const Tray uncorrected = find_census(bench.ledger, "photo-2.jpg").census.tray;
  check_rate(other.germination,
             checked_germination_rate(CheckedTrays{{cell_readings(uncorrected, 1)}, {}, all}));
  CHECK(other.germination->estimate > 0.78);  // seen: about 0.72
  // A tray of another shape, or of other seeds a cell, is left as it is.
  bench.keep_tray(sure_tray({5, 10, LatticeKind::square}, 43), "small", "2026-04-01");
  CHECK(bench.lot("small").error_checks == 0);
  Tray pairs = sure_tray({8, 16, LatticeKind::square}, 100);
  pairs.seeds_per_cell = 2;
  bench.keep_tray(pairs, "pairs", "2026-04-01");
  CHECK(bench.lot("pairs").error_checks == 0);
  CHECK(bench.lot("pairs").germination->estimate == doctest::Approx(100 / 256.));
}

TEST_CASE("checks correct the trays of their kind, whatever other kinds the lot was sown in") {
  KeptBench bench;
  bench.keep_tray(sure_tray({6, 12, LatticeKind::square}, 60), "alone", "2026-03-01", 12, "T1");
  bench.keep_tray(sure_tray({6, 12, LatticeKind::square}, 60), "mixed", "2026-03-01", 12, "T2");
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 100), "mixed", "2026-04-01", 12, "T3");
  const LotSummary before = bench.lot("mixed");
  std::vector<HandCheck> checks;
  for (int cell = 0; cell < 16; ++cell) checks.push_back({cell, cell < 4 ? 0 : 1, true});
  note_checks(bench.ledger, find_census(bench.ledger, "T1").census, checks);
  const LotSummary mixed = bench.lot("mixed");
  bench.keep_tray(sure_tray({6, 12, LatticeKind::square}, 60), "elsewhere", "2026-03-01", 12, "T4");
  check_rate(mixed.sowings.at(0).germination, *bench.lot("elsewhere").germination);
  check_rate(mixed.sowings.at(1).germination, *before.sowings.at(1).germination);
  CHECK(mixed.error_checks == 16);
  CHECK(mixed.sowings[0].error_checks == 16);
  CHECK(mixed.sowings[1].error_checks == 0);
  // What the checks take from the 72 cells of the one sowing is taken from the 200 of the lot.
  const double less = before.sowings[0].germination->estimate - mixed.sowings[0].germination->estimate;
  CHECK(less > 0.1);
  CHECK(before.germination->estimate - mixed.germination->estimate == doctest::Approx(less * 72 / 200));
}

TEST_CASE("identity: checks that are all right move and widen no rate, of their own lot or of others") {
  KeptBench bench;
  const Layout layout{8, 16, LatticeKind::square};
  for (const int up : {128, 100, 64})
    bench.keep_tray(sure_tray(layout, up), std::to_string(up), "2026-04-01");
  std::map<std::string, LotSummary> before;
  for (const char* lot : {"128", "100", "64"}) before[lot] = bench.lot(lot);
  std::vector<HandCheck> checks;
  for (int cell = 0; cell < 8; ++cell) checks.push_back({cell, 1, true});
  note_checks(bench.ledger, find_census(bench.ledger, "photo-2.jpg").census, checks);
  for (const auto& [name, plain] : before) {
    const LotSummary lot = bench.lot(name);
    CHECK(lot.error_checks == 8);
    for (const auto& [rate, expected] :
         {std::pair(lot.germination, plain.germination), std::pair(lot.gaps, plain.gaps)}) {
      CHECK(rate->estimate == doctest::Approx(expected->estimate));
      CHECK(rate->low == doctest::Approx(expected->low));
      CHECK(rate->high == doctest::Approx(expected->high));
    }
  }
}

TEST_CASE("a tray counted by hand to the last cell is that, whether cells were drawn or not") {
  KeptBench bench;
  bench.keep_tray(sure_tray({6, 12, LatticeKind::square}, 70), "A", "2026-04-01");
  std::vector<HandCheck> checks;
  for (int cell = 0; cell < 72; ++cell) checks.push_back({cell, cell < 67 ? 1 : 0, cell < 16});
  note_checks(bench.ledger, find_census(bench.ledger, "").census, checks);
  const std::vector<CellReading> by_hand = cell_readings(sure_tray({6, 12, LatticeKind::square}, 67), 1);
  const LotSummary lot = bench.lot("A");
  CHECK(lot.gaps->estimate == doctest::Approx(5 / 72.));
  CHECK(lot.gaps->low == doctest::Approx(gap_rate(by_hand).low));
  CHECK(lot.gaps->high == doctest::Approx(gap_rate(by_hand).high));
  CHECK(lot.germination->low == doctest::Approx(germination_rate(by_hand).low));
  const LotReport report = report_on(as_lot(read_lot(bench.ledger, "A")));
  CHECK(report.gap_rate->estimate == doctest::Approx(5 / 72.));
}

TEST_CASE("checks of one tray leave the doubt between a lot's trays") {
  KeptBench bench;
  const Layout layout{6, 12, LatticeKind::square};
  for (const int up : {70, 30, 36})
    bench.keep_tray(sure_tray(layout, up), "X", "2026-04-01", 7, fmt::format("T{}", up));
  const LotSummary before = bench.lot("X");
  std::vector<HandCheck> checks;
  for (int cell = 0; cell < 16; ++cell) checks.push_back({cell * 4, 1, true});
  note_checks(bench.ledger, find_census(bench.ledger, "T70").census, checks);
  check_rate(before.germination, {bench.lot("X").germination->estimate, bench.lot("X").germination->low,
                                  bench.lot("X").germination->high, before.germination->method});
}

TEST_CASE("a cell counted by hand is so in the tray's course, too") {
  KeptBench bench;
  const Layout layout{6, 12, LatticeKind::square};
  for (const int day : {5, 7}) bench.keep_tray(sure_tray(layout, 60), "X", "2026-04-01", day, "T1");
  const FoundCensus last = find_census(bench.ledger, "T1");
  note_checks(bench.ledger, last.census, {{70, 1, false}, {71, 1, false}});
  const auto courses = courses_of(read_lot(bench.ledger, "X"));
  REQUIRE(courses.size() == 1);
  CHECK(courses[0].emergence.came_up.back() == 62);
  CHECK(courses[0].cells[70].came_up == 1);
}

TEST_CASE("one sowing of a lot, with too few checks for a correction, is taken as it was counted") {
  KeptBench bench;
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 100), "Rowan 12", "2026-04-01", 9);
  note_checks(bench.ledger, find_census(bench.ledger, "").census, {{3, 1, true}});
  const KeptLot kept = read_lot(bench.ledger, "Rowan 12");
  const Lot lot = as_lot(kept, {&kept.sowings.front(), 1});
  CHECK(lot.checked.empty());
  CHECK(report_on(lot).germination_rate->estimate == doctest::Approx(100 / 128.));
}

TEST_CASE("checked clusters may give more seedlings than seeds, single seeds may not") {
  KeptBench bench;
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
  KeptBench bench;
  for (const std::string crop : {"beet", "kale"}) {
    Tray tray = sure_tray({8, 16, LatticeKind::square}, 128);
    tray.crop = crop;
    tray.seeds_per_cell = 2;
    for (Cell& cell : tray.cells) cell.count = cell.col % 4, cell.probability = {};
    bench.keep_tray(tray, crop + " other", "2026-04-01", 9);
    const Estimate before = *bench.lot(crop + " other").germination;
    bench.keep_tray(tray, crop + " checked", "2026-04-01", 9);
    std::vector<HandCheck> checks;
    for (int cell = 0; cell < 16; ++cell) checks.push_back({cell, cell % 4, true});
    note_checks(bench.ledger, find_census(bench.ledger, "").census, checks);
    const LotSummary other = bench.lot(crop + " other");
    CHECK(other.error_checks == 16);
    CHECK(other.germination->estimate == doctest::Approx(before.estimate));
    CHECK(other.germination->low == doctest::Approx(before.low));
    CHECK(other.germination->high == doctest::Approx(before.high));
  }
}

TEST_CASE("a few cells counted by hand give no more seedlings than seeds, unless seeds are clusters") {
  KeptBench bench;
  for (const std::string crop : {"beet", "kale"}) {
    Tray tray = sure_tray({8, 16, LatticeKind::square}, 128);
    tray.crop = crop;
    bench.keep_tray(tray, crop, "2026-04-01", 9);
    note_checks(bench.ledger, find_census(bench.ledger, "").census, {{0, 129, false}});
    CHECK(bench.lot(crop).germination->estimate == doctest::Approx(crop == "beet" ? 2 : 1));
  }
}
