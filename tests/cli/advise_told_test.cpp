// SPDX-License-Identifier: Apache-2.0
// What `braird advise` makes of what it is told beside the counts.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>

#include "calibration/census_json.h"
#include "tests/cli/bench.h"
#include "tests/cli/reported_trays.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;
using Json = nlohmann::ordered_json;

TEST_CASE("clusters counted by hand are clusters for advice too") {
  const Bench bench;
  std::string text = "lot,tray,row,col,count\n";
  for (int at = 0; at < 60; ++at)
    text += fmt::format("Beta 1,A,{},{},{}\n", at / 10 + 1, at % 10 + 1, 1 + at % 3);
  const std::string file = bench.file("beet.csv", text);
  const Said said = said_by("advise", {file, "--seeds", "1", "--crop", "beet"});
  CHECK(said.code == ExitCode::ok);
  CHECK(said.out.find("beyond the seeds sown") == std::string::npos);
}

TEST_CASE("where the sowing is told, what lacks is the day of the count") {
  const Bench bench;
  std::string text = "lot,tray,row,col,count\n";
  for (int at = 0; at < 60; ++at)
    text += fmt::format("Leek 1,A,{},{},{}\n", at / 10 + 1, at % 10 + 1, at % 3 > 0 ? 1 : 0);
  const std::string file = bench.file("leek.csv", text);
  std::vector<std::string> call = {file, "--seeds", "1", "--crop", "leek"};
  CHECK(Json::parse(said_by("advise", {file, "--seeds", "1", "--crop", "leek", "--json"}).out)
            .dump()
            .find("tell when it was sown and counted (or --day).") != std::string::npos);
  call.insert(call.end(), {"--sown", "2026-03-01"});
  std::istringstream page(said_by("advise", call).out);
  std::string words;
  for (std::string word; page >> word;) words += word + " ";
  CHECK(words.find("weighed without the day of the count (--counted).") != std::string::npos);
  CHECK(words.find("tell when it was counted (--counted).") != std::string::npos);
}

TEST_CASE("the stated assurance and prices are heard") {
  auto cells_for = [](const char* assurance) {
    const Said said =
        said_by("advise", {"--germination", "90", "--cells", "600", "--assurance", assurance, "--json"});
    return Json::parse(said.out)["to_sow"]["cells"].get<int>();
  };
  CHECK(cells_for("99") > cells_for("95"));
  CHECK(cells_for("95") > cells_for("60"));
  auto chosen_at = [](const char* price) {
    const Said said =
        said_by("advise", {"--germination", "60", "--set", price, "--set", "tray_price=30", "--json"});
    return Json::parse(said.out)["next_batch"]["chosen"].get<int>();
  };
  CHECK(chosen_at("seed_price=0.0001") > chosen_at("seed_price=2"));
  const Bench bench;
  const std::string own =
      bench.file("own.json", R"({"format": "braird-economy", "version": 1, "values": {"tray_price": 9}})");
  const Json answer = Json::parse(said_by("advise", {"--germination", "60", "--economy", own, "--json"}).out);
  CHECK(answer["economy"]["tray_price"] == 9);
  CHECK(answer["next_batch"]["chosen_by"] == "cost");
}

TEST_CASE("trays photographed on different days are judged by the least of them") {
  const Bench bench;
  const auto counted = [](const char* tag, const char* taken, int up) {
    std::vector<int> counts(128, 0);
    std::fill_n(counts.begin(), up, 1);
    Tray tray = tray_with({8, 16, LatticeKind::square}, counts);
    tray.label = TrayLabel{tag, {}, {}, {}, {}, {}};
    return to_json({{fmt::format("{}.jpg", tag), 1000, 800, taken}, {tray}, {}}).dump() + "\n";
  };
  const std::string trays = bench.file(
      "two.jsonl", counted("K1", "2026-03-13T09:00:00", 115) + counted("K2", "2026-03-06T09:00:00", 26));
  const auto day_told = [&](std::vector<std::string> told) {
    told.insert(told.begin(), {trays, "--crop", "kale", "--sown", "2026-03-01", "--json"});
    return Json::parse(said_by("advise", told).out)["day"];
  };
  CHECK(day_told({}) == 5);
  CHECK(day_told({"--counted", "2026-03-13"}) == 12);
}
