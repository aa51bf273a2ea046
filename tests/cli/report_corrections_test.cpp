// SPDX-License-Identifier: Apache-2.0
// What a person counted by hand, in the report.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

#include "cli/report/gather.h"
#include "tests/cli/kept_report.h"
#include "tests/cli/reported_trays.h"

using namespace braird;
using namespace braird::report;
using namespace braird::test;
using cli::ExitCode;

TEST_CASE("corrections find the photo they were made for, though the tray was photographed again") {
  Kept kept;
  Tray tray = tray_with({2, 3}, {1, 1, 1, 1, 0, 0});
  tray.label = TrayLabel{"K7", "Rowan 12", "kale", "2026-04-02", 1, {}};
  kept.keep("a.jpg", tray, "Rowan 12");
  PhotoShelf shelf;
  const TrayReport before = gather(kept.ledger, {"K7", {}, {}, {}}, shelf).lots[0].sowings[0].trays[0];
  kept.keep("b.jpg", tray, "Rowan 12", "2026-04-02", "2026-04-12T09:00:00");
  const std::string table =
      kept.file("c.csv", "tray,photo,row,col,count,drawn\nK7," + before.key + ",2,2,1,no\n");
  const Said said = kept.say("check", {"--counts", table});
  CAPTURE(said.err);
  CHECK(said.out ==
        "tray K7 (a.jpg): 1 hand count noted\nYour counts are kept. To correct the other cells too, count 8 "
        "of the cells that braird draws at random (0 so far).\n");
  const TrayReport first = gather(kept.ledger, {"a.jpg", {}, {}, {}}, shelf).lots[0].sowings[0].trays[0];
  CHECK(first.hand.size() == 1);
  CHECK(first.evidence.summary.empty == 1);
  CHECK(first.rates.gaps->estimate == doctest::Approx(1 / 6.));
  CHECK(gather(kept.ledger, {"K7", {}, {}, {}}, shelf).lots[0].sowings[0].trays[0].hand.empty());
  for (const auto& [content, fault] :
       {std::pair<std::string, const char*>{"row,col,count,drawn\n1,1,1,maybe\n",
                                            "line 2: drawn must be yes or no"},
        {"photo,row,col,count\n0123,1,1,1\n", "knows no counted photo 0123"},
        {"photo,row,col,count\n" + before.key + "-2,1,1,1\n", "knows no counted photo"},
        {"row,col,count\n", "holds no counts"}}) {
    const Said refused = kept.say("check", {"--counts", kept.file("bad.csv", content)});
    CHECK(refused.code == ExitCode::usage);
    CHECK(refused.err.find(fault) != std::string::npos);
  }
  // A bad line keeps the good ones out too.
  const Said half = kept.say(
      "check", {"--counts", kept.file("half.csv", "tray,row,col,count\na.jpg,1,1,1\nb.jpg,9,9,1\n")});
  CHECK(half.code == ExitCode::usage);
  CHECK(gather(kept.ledger, {"a.jpg", {}, {}, {}}, shelf).lots[0].sowings[0].trays[0].hand.size() == 1);
}

TEST_CASE("what hand counts correct is one figure in a tray's advice and in its rates") {
  Kept kept;
  std::vector<int> counts(128, 1);
  std::fill(counts.begin() + 96, counts.end(), 0);
  Tray tray = tray_with({8, 16}, counts);
  tray.label = TrayLabel{"K7", "Rowan 12", {}, "2026-04-02", 1, {}};
  tray.crop.reset();
  kept.keep("a.jpg", tray, "Rowan 12", "2026-04-02", "2026-05-12T09:00:00");
  std::string table = "tray,row,col,count,drawn\n";
  for (int cell = 0; cell < 128; cell += 3)
    table +=
        fmt::format("K7,{},{},{},yes\n", cell / 16 + 1, cell % 16 + 1, cell < 96 && cell % 9 > 0 ? 1 : 0);
  REQUIRE(kept.say("check", {"--counts", kept.file("c.csv", table)}).code == ExitCode::ok);
  PhotoShelf shelf;
  const TrayReport checked = gather(kept.ledger, {"K7", {}, {}, {}}, shelf).lots[0].sowings[0].trays[0];
  REQUIRE(checked.rates.gaps);
  CHECK(checked.rates.gaps->estimate > .4);
  CHECK(checked.evidence.gaps.estimate == checked.rates.gaps->estimate);
  CHECK(checked.advice.why.starts_with("About "));
}

TEST_CASE("a cell drawn at random stays so when it is counted again") {
  Kept kept;
  kept.keep("a.jpg", tray_with({2, 3}, {1, 1, 1, 1, 0, 0}), "Rowan 12");
  for (const char* drawn : {"yes", "no"})
    kept.say("check",
             {"--counts", kept.file("c.csv", std::string("row,col,count,drawn\n2,2,1,") + drawn + "\n")});
  const auto checks = ledger::find_census(kept.ledger, "a.jpg").census.checks;
  REQUIRE(checks.size() == 1);
  CHECK(checks[0].drawn);
}
