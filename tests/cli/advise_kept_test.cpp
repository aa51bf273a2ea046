// SPDX-License-Identifier: Apache-2.0
// What does `braird advise` make of trays that stand in the ledger?
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "calibration/census_json.h"
#include "tests/cli/bench.h"
#include "tests/cli/kept_report.h"
#include "tests/cli/reported_trays.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;
using Json = nlohmann::ordered_json;

namespace {

Tray kept_tray(int up, const char* tag) {
  std::vector<int> counts(128, 0);
  for (int at = 0; at < up; ++at) counts[static_cast<std::size_t>(at * 37 % 128)] = 1;
  Tray tray = tray_with({8, 16, LatticeKind::square}, counts);
  tray.label = TrayLabel{tag, {}, {}, {}, {}, {}};
  return tray;
}

Json advice(const Said& said) {
  CHECK(said.err == "");
  REQUIRE(said.code == ExitCode::ok);
  return Json::parse(said.out);
}

Json kept_advice(const Kept& kept, std::vector<std::string> arguments) {
  arguments.emplace_back("--json");
  return advice(kept.say("advise", std::move(arguments)));
}

}  // namespace

TEST_CASE("a lot of the ledger is advised on without a file, as its counts are") {
  Kept kept;
  kept.keep("a.jpg", kept_tray(105, "K1"), "Rowan 12", "2026-03-01", "2026-03-13T00:00:00");
  const Json own =
      kept_advice(kept, {"--lot", "rowan 12", "--bed", "10", "--spacing", "12", "--planting", "2026-04-20"});
  CHECK(own["lot"] == "Rowan 12");
  CHECK(own["day"] == 12);
  CHECK(own["remarks"].dump().find("These are the ledger's tray of the lot sown on 2026-03-01.") !=
        std::string::npos);
  const Bench bench;
  Census census;
  census.photo = {"a.jpg", 2400, 1800, "2026-03-13T00:00:00"};
  census.trays = {ledger::read_lot(kept.ledger, "Rowan 12").sowings[0].trays[0].censuses[0].tray};
  Tray& tray = census.trays[0];
  tray.lot = "Rowan 12", tray.sown_on = "2026-03-01", tray.crop = "kale", tray.seeds_per_cell = 1;
  const std::string file = bench.file("a.jsonl", to_json(census).dump() + "\n");
  const Json counted = advice(
      said_by("advise", {file, "--bed", "10", "--spacing", "12", "--planting", "2026-04-20", "--json"}));
  for (const char* part : {"day", "germination", "this_tray", "next_batch", "to_sow"})
    CHECK_MESSAGE(own[part] == counted[part], part);
}

TEST_CASE("of a lot's kept sowings the last is asked about, or the one that is told") {
  Kept kept;
  kept.keep("a.jpg", kept_tray(60, "K1"), "Rowan 12", "2026-03-01", "2026-03-13T09:00:00");
  kept.keep("b.jpg", kept_tray(120, "K2"), "Rowan 12", "2026-04-01", "2026-04-13T09:00:00");
  kept.keep("c.jpg", kept_tray(121, "K3"), "Rowan 12", "2026-04-01", "2026-04-13T09:00:00");
  const Json last = kept_advice(kept, {"--lot", "Rowan 12"});
  CHECK(last["this_tray"]["full"] == 241);
  CHECK(last["remarks"].dump().find("the ledger's 2 trays of the lot sown on 2026-04-01") !=
        std::string::npos);
  CHECK(kept_advice(kept, {"--lot", "Rowan 12", "--sown", "2026-03-01"})["this_tray"]["full"] == 60);
}

TEST_CASE("what the ledger knows or doesn't is said in a sentence") {
  Kept kept;
  kept.keep("a.jpg", kept_tray(105, "K1"), "Rowan 12", "2026-03-01", "2026-03-13T09:00:00");
  struct Refusal {
    std::vector<std::string> call;
    std::string words;
  };
  for (const Refusal& row : std::vector<Refusal>{
           {{"--lot", "Rowan 21"}, "the ledger knows no lot \"Rowan 21\"; it knows Rowan 12"},
           {{"--lot", "Rowan 12", "--sown", "2026-03-02"},
            "--sown 2026-03-02: the ledger's sowings of lot Rowan 12 are of 2026-03-01"},
           {{"--lot", "Rowan 12", "--seeds", "2"}, "--seeds: the trays of lot Rowan 12 are the ledger's"},
           {{"--lot", "Rowan 12", "--day", "9"}, "--day: the kept photos of lot Rowan 12 tell when"},
           {{"--germination", "90"}, "--ledger: goes with --lot, and without a file of counts"}}) {
    const Said said = kept.say("advise", row.call);
    CHECK(said.code == ExitCode::usage);
    CHECK_MESSAGE(said.err.find(row.words) != std::string::npos, said.err);
  }
  const Json planned = kept_advice(kept, {"--lot", "Rowan 21", "--germination", "90"});
  CHECK(planned["this_tray"].is_null());
}
