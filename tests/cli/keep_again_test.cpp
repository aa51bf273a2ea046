// SPDX-License-Identifier: Apache-2.0
// What the ledger knows of a photo or a lot need not be told again.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "cli/whole_file.h"
#include "tests/cli/ledger_bench.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;
using Json = nlohmann::ordered_json;

TEST_CASE("a photo kept again with fewer options keeps what was told before") {
  const LedgerBench bench;
  bench.keep_sample();
  const auto lot = [&] { return Json::parse(bench.say({"lots", "--json"}).out); };
  const Json before = lot();
  bench.say({"count", "--keep", "--tray", "plug-128", "--tag", "K7", kPhoto});
  const Said again = bench.say({"count", "--keep", kPhoto});
  CHECK(again.err == "braird: " + kPhoto + ": corrected in lot Rowan 12, tray K7\n");
  CHECK(again.out.find("kale") != std::string::npos);
  CHECK(again.out.find("does not tell when it was taken") == std::string::npos);
  CHECK(lot() == before);
  bench.say({"count", "--keep", "--sown", "2026-04-03", kPhoto});
  CHECK(lot()["sowings"].size() == 1);
  CHECK(lot()["sowings"][0]["sown_on"] == "2026-04-03");
  CHECK(lot()["empty"] == before["empty"]);
}

TEST_CASE("a photo kept again without its tray's shape keeps that, too") {
  const LedgerBench bench;
  for (const auto& told :
       {std::vector<std::string>{"--tray", "16x8"}, {"--lot", "Rowan 12"}, {"--tag", "K7"}}) {
    std::vector<std::string> words = {"count", "--keep", "--crop", "kale", kPhoto};
    words.insert(words.end(), told.begin(), told.end());
    CHECK(bench.say(words).code == ExitCode::ok);
    const Json sowings = Json::parse(bench.say({"lots", "--json"}).out)["sowings"];
    REQUIRE(sowings.size() == 1);
    CHECK(sowings[0]["rows"] == 16);
  }
}

TEST_CASE("the crop of a lot that the ledger knows need not be told, by count nor by watch") {
  const LedgerBench bench;
  bench.say({"note", "Rowan 12", "--crop", "kale"});
  CHECK(bench.say({"count", "--keep", "--lot", "Rowan 12", kPhoto}).out.find("kale, lot Rowan 12") !=
        std::string::npos);
  bench.say({"export", bench.path("count")});
  bench.say({"undo"});
  const std::filesystem::path arrivals = bench.folder.path / "arrivals";
  std::filesystem::create_directory(arrivals);
  std::filesystem::copy(kPhoto, arrivals);
  bench.say({"watch", arrivals.string(), "--once", "--lot", "Rowan 12"});
  bench.say({"export", bench.path("watch")});
  CHECK(cli::read_whole_file(bench.path("watch/cells.csv")) ==
        cli::read_whole_file(bench.path("count/cells.csv")));
}

TEST_CASE("a lot whose crop is corrected has its photos counted again, and says so") {
  const LedgerBench bench;
  bench.keep_sample();
  CHECK(bench.say({"note", "Rowan 12", "--crop", "kale"}).err.empty());
  CHECK(
      bench.say({"note", "Rowan 12", "--crop", "beet"}).err ==
      "braird: photos that were counted as kale keep those counts until they are counted again: braird count "
      "--keep PHOTO\n");
  bench.say({"note", "Zed", "--crop", "leek"});
  CHECK(bench.say({"note", "Zed", "--crop", "beet"}).err.empty());
}
