// SPDX-License-Identifier: Apache-2.0
// Which cells are proposed to be counted by hand, and hand counts that can't be.
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

TEST_CASE("however many cells were drawn, those counted tell how many") {
  KeptBench bench;
  std::mt19937 random(12);
  bench.keep_tray(seen_on(grown({}, random), 9, {}, random), "A", "2026-04-01");
  const KeptCensus census = find_census(bench.ledger, "").census;
  for (const int drawn : {0, 5, 40, 128}) {
    std::vector<int> cells;
    for (const CheckProposal& proposal : propose_checks(census, drawn, 0)) cells.push_back(proposal.cell);
    CHECK(drawn_among(census, cells) == drawn);
  }
}

TEST_CASE("a cell of several seeds is proposed where the counter is unsure how many stand there") {
  KeptBench bench;
  Tray tray = sure_tray({8, 16, LatticeKind::square}, 128);
  tray.seeds_per_cell = 3;
  tray.cells[37].count = 3;
  tray.cells[37].probability = {0, 0, 0.4, 0.6};
  bench.keep_tray(tray, "A", "2026-04-01");
  const auto proposals = propose_checks(find_census(bench.ledger, "").census, 0, 4);
  REQUIRE(proposals.size() == 1);
  CHECK(proposals[0].cell == 37);
}

TEST_CASE(
    "cells proposed for a check stay the same until they are counted, and are then not proposed again") {
  KeptBench bench;
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

TEST_CASE("a hand count outside of its tray, or beyond any, is told as damage") {
  KeptBench bench;
  bench.keep_tray(sure_tray({8, 16, LatticeKind::square}, 100), "A", "2026-04-01");
  note_checks(bench.ledger, find_census(bench.ledger, "").census, {{5, 1, true}});
  for (const char* damage : {"cell = 128", "cell = -1", "seedlings = 2000000000"}) {
    CAPTURE(damage);
    bench.ledger.file().run(std::string("UPDATE checks SET cell = 5, seedlings = 1; UPDATE checks SET ") +
                            damage);
    CHECK_THROWS_WITH_AS(find_census(bench.ledger, ""), doctest::Contains("are damaged; bring back a copy"),
                         LedgerTrouble);
    CHECK_THROWS_AS(bench.lot("A"), LedgerTrouble);
  }
}
