// SPDX-License-Identifier: Apache-2.0
// Photos of several days and sowings: on which trays does `braird advise` advise?
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "calibration/census_json.h"
#include "tests/cli/bench.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;
using Json = nlohmann::ordered_json;

namespace {

struct ShownTray {
  std::string file, taken, sown_on, crop = "kale";
  int full = 64, doubtful = 0;
  std::string tag = {};
};

// 72 cells of one seed each, the first `full` of them full.
std::string tray_line(const ShownTray& of) {
  Census census;
  census.photo = {of.file, 2400, 1800, of.taken};
  Tray tray;
  tray.layout = {6, 12, LatticeKind::square};
  tray.fit = .99;
  tray.pitch_px = 80;
  tray.crop = of.crop;
  tray.seeds_per_cell = 1;
  tray.lot = "Rowan 12", tray.sown_on = of.sown_on;
  if (!of.tag.empty()) tray.label = TrayLabel{of.tag, {}, {}, {}, {}, {}};
  for (int at = 0; at < 72; ++at) {
    Cell cell{at / 12, at % 12, {}, at < of.full, {}, at >= 72 - of.doubtful};
    cell.probability = at < of.full ? std::vector<double>{0, 1} : std::vector<double>{1, 0};
    tray.cells.push_back(cell);
  }
  census.trays.push_back(tray);
  return to_json(census).dump() + "\n";
}

Json advice_on(std::vector<std::string> arguments) {
  arguments.emplace_back("--json");
  const Said said = said_by("advise", std::move(arguments));
  CHECK(said.err == "");
  REQUIRE(said.code == ExitCode::ok);
  return Json::parse(said.out);
}

}  // namespace

TEST_CASE("cells that an earlier day's photo left in doubt don't bar advice") {
  const Bench bench;
  const std::string early = tray_line({"a.jpg", "2026-03-06T09:00:00", "2026-03-01", "kale", 40, 30});
  const std::string late = tray_line({"b.jpg", "2026-03-13T09:00:00", "2026-03-01"});
  const Json both = advice_on({bench.file("both.jsonl", early + late)});
  CHECK(both["this_tray"]["cells"] == 72);
  CHECK(both["this_tray"]["rule"] == advice_on({bench.file("late.jsonl", late)})["this_tray"]["rule"]);
}

TEST_CASE("of a lot's several sowings the latest are these trays, the rest earlier ones") {
  const Bench bench;
  const std::string before = tray_line({"a.jpg", "2026-04-14T09:00:00", "2026-03-01", "kale", 40}),
                    now = tray_line({"b.jpg", "2026-04-12T09:00:00", "2026-04-01"});
  const std::string file = bench.file("now.jsonl", now);
  const Json told = advice_on({file, "--earlier", bench.file("before.jsonl", before)});
  Json season = advice_on({bench.file("season.jsonl", before + now)});
  CHECK(season["day"] == 11);
  CHECK(season["this_tray"]["full"] == 64);
  CHECK(season["remarks"].dump().find("Only the trays sown on 2026-04-01 are these") != std::string::npos);
  for (const char* part : {"germination", "this_tray", "next_batch"}) CHECK(season[part] == told[part]);
  SUBCASE("what --earlier tells of these trays again counts once") {
    const std::string all = bench.file("all.jsonl", before + now);
    const Json again = advice_on({file, "--earlier", all});
    CHECK(again["remarks"].dump().find("What --earlier tells of these trays again was left out.") !=
          std::string::npos);
    for (const char* part : {"germination", "next_batch"}) CHECK(again[part] == told[part]);
    CHECK(advice_on({file, "--earlier", file})["next_batch"] == advice_on({file})["next_batch"]);
  }
  SUBCASE("by tag and sowing, too") {
    const std::string first = tray_line({"c.jpg", "2026-04-08T09:00:00", "2026-04-01", "kale", 50, 0, "K7"}),
                      last = bench.file("last.jsonl", tray_line({"d.jpg", "2026-04-12T09:00:00", "2026-04-01",
                                                                 "kale", 64, 0, "K7"}));
    CHECK(advice_on({last, "--earlier", bench.file("first.jsonl", first)})["next_batch"] ==
          advice_on({last})["next_batch"]);
  }
}

TEST_CASE("the lot's crop is the first that is on the list") {
  const Bench bench;
  const auto crop_of = [&](const std::string& one, const std::string& other) {
    return advice_on({bench.file(
        one + other, tray_line({"a.jpg", "2026-04-14T09:00:00", "2026-04-01", one}) +
                         tray_line({"b.jpg", "2026-04-14T09:30:00", "2026-04-01", other}))})["crop"];
  };
  CHECK(crop_of("kale", "xyzzy") == "kale");
  CHECK(crop_of("xyzzy", "kale") == "kale");
}
