// SPDX-License-Identifier: Apache-2.0
// `braird advise` from files to printed page.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "calibration/census_json.h"
#include "cli/text/advise_text.h"
#include "tests/cli/bench.h"
#include "tests/cli/hand_counted.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;
using Json = nlohmann::ordered_json;

namespace {

Said advise(std::vector<std::string> arguments) {
  return said_by("advise", std::move(arguments));
}

std::string census_line(int full_cells, Counted counted = Counted::seedlings, const TrayLabel& label = {}) {
  Census census;
  census.photo = {"bench.jpg", 2400, 1800, "2026-03-26T08:00:00"};
  census.counted = counted;
  Tray tray;
  tray.layout = {8, 16, LatticeKind::square};
  tray.fit = .99;
  tray.pitch_px = 80;
  tray.crop = "onion";
  tray.seeds_per_cell = 1;
  tray.lot = label.lot, tray.sown_on = label.sown_on;
  for (int at = 0; at < 128; ++at) {
    Cell cell{at / 16, at % 16, {}, at < full_cells, {}, false};
    cell.probability = at < full_cells ? std::vector<double>{.02, .98} : std::vector<double>{.97, .03};
    tray.cells.push_back(cell);
  }
  census.trays.push_back(tray);
  return to_json(census).dump() + "\n";
}

long lines_of(const std::string& text) {
  return std::count(text.begin(), text.end(), '\n');
}

}  // namespace

TEST_CASE("of photos of several lots only the one that was named is advised on, at the age that it says") {
  const Bench bench;
  const std::string file = bench.file(
      "bench.jsonl", census_line(40, Counted::seedlings, {"", "Sorrel 4", {}, {}, {}, {}}) +
                         census_line(96, Counted::seedlings, {"", "Rowan 12", {}, "2026-03-10", {}, {}}));
  CHECK(advise({file}).err ==
        "braird: the files hold several lots (Sorrel 4, Rowan 12); say which is meant with --lot\n");
  CHECK(advise({file, "--lot", "rowan 12"}).out.starts_with("Lot Rowan 12, onion: 128 cells on day 16, "));
}

TEST_CASE("the page: at most thirty lines, whatever is told, and the cautions once") {
  const Bench bench;
  const std::string tray = bench.file("bench.csv", leek_tray()),
                    photo = bench.file("bench.jsonl", census_line(96)),
                    past = bench.file("past.csv", "lot,sown,germinated\nHarebell 3,100,92\n");
  for (const std::vector<std::string>& call : std::vector<std::vector<std::string>>{
           {tray, "--seeds", "4"},
           {tray, "--seeds", "4", "--crop", "leek", "--day", "9", "--cells", "600", "--packs",
            "500:3,5000:22"},
           {tray,
            "--seeds",
            "4",
            "--crop",
            "leek",
            "--sown",
            "2026-03-01",
            "--counted",
            "2026-03-09",
            "--planting",
            "2026-04-20",
            "--bed",
            "10",
            "--rows",
            "3",
            "--spacing",
            "15",
            "--every",
            "2",
            "--earlier",
            past,
            "--germination",
            "92",
            "--tested",
            "2024-03-01",
            "--temperature",
            "12",
            "--next-temperature",
            "20",
            "--treated",
            "--pelleted",
            "--set",
            "seed_price=0.05"},
           {photo, "--sown", "2026-03-19", "--planting", "2026-05-20", "--cells", "500"},
           {"--germination", "90", "--cells", "600", "--crop", "onion", "--tray", "plug-128"}}) {
    const Said said = advise(call);
    CAPTURE(said.out);
    CAPTURE(said.err);
    CHECK(said.code == ExitCode::ok);
    CHECK(said.err == "");
    CHECK(lines_of(said.out) <= 30);
    CHECK(said.out.find("Next batch") != std::string::npos);
    CHECK(said.out.find("How much") != std::string::npos);
    for (const char* once : {"gloves", "mask", "seed label come"}) {
      CHECK(said.out.find(once) != std::string::npos);
      CHECK(said.out.find(once) == said.out.rfind(once));
    }
  }
}

TEST_CASE("README shows what the program prints for the sample's hand counts") {
  const auto root = std::filesystem::path(BRAIRD_SOURCE_DIR);
  std::ifstream file(root / "README.md");
  std::stringstream readme;
  readme << file.rdbuf();
  const std::string text = readme.str(), fence = "```text advice\n";
  const auto from = text.find(fence);
  REQUIRE(from != std::string::npos);
  const std::string shown =
      text.substr(from + fence.size(), text.find("```", from + 3) - from - fence.size());
  std::vector<std::string> call = {(root / "samples/hand-counts.csv").string()};
  std::istringstream words(
      "--seeds 4 --crop leek --sown 2026-03-01 --counted 2026-03-12 --planting 2026-05-04 --temperature 18 "
      "--bed 10 --rows 3 --spacing 12");
  for (std::string word; words >> word;) call.push_back(word);
  const Said said = advise(call);
  CHECK(said.err == "");
  CHECK(said.out == shown);
}

TEST_CASE("the JSON has all its fields, and its shares sum to one") {
  const Bench bench;
  const Said said = advise({bench.file("bench.jsonl", census_line(96)), "--sown", "2026-03-19", "--cells",
                            "600", "--tray", "256", "--json", "--currency", "shells", "--wanted", "1-2"});
  REQUIRE(said.code == ExitCode::ok);
  const Json answer = Json::parse(said.out);
  CHECK(answer["format"] == "braird-advice");
  CHECK(answer["day"] == 7);
  CHECK(answer["crop"] == "onion");
  CHECK(answer["wanted"] == Json::array({1, 2}));
  CHECK(answer["economy"]["currency"] == "shells");
  REQUIRE(answer["next_batch"]["table"].size() == 12);
  for (int n = 1; n <= 12; ++n) {
    const Json& row = answer["next_batch"]["table"][static_cast<std::size_t>(n - 1)];
    CHECK(row["seeds_per_cell"] == n);
    CHECK(row["below"].get<double>() + row["within"].get<double>() + row["above"].get<double>() ==
          doctest::Approx(1));
    CHECK(row["empty"].get<double>() == doctest::Approx(row["below"].get<double>()));
    for (const char* key : {"plants", "cost"}) CHECK(row[key].is_number());
  }
  CHECK(answer["next_batch"]["chosen"].get<int>() >= 1);
  CHECK(answer["to_sow"]["bed_trays"].get<double>() == doctest::Approx(600 / 256.));
  for (const char* key : {"cells", "trays", "seeds", "chance"}) CHECK(answer["to_sow"][key].is_number());
  CHECK(answer["to_sow"]["chance"].get<double>() >= .95);
  const Json& tray = answer["this_tray"];
  CHECK(tray["cells"] == 128);
  CHECK(tray["empty"] == 32);
  CHECK(tray["rule"]["action"] == "wait");
  CHECK(tray["waiting"]["until_day"] == 10);  // 7 CFR 201.58: final count of onion on day 10
  for (const Json& option : tray["options"])
    for (const char* key : {"option", "full_cells", "plants", "seeds", "minutes", "money", "chance"})
      CHECK(option.contains(key));
}

TEST_CASE("cells checked by hand correct the advice as they correct the rate") {
  const Bench bench;
  const std::string photo = bench.file("bench.jsonl", census_line(96));
  // Drawn at random from the 32 cells that were read as empty and the 96 others: a third of the former hold a
  // seedling.
  std::string by_hand = "lot,tray,row,col,count\n";
  for (int cell = 0; cell < 128; cell += 3)
    by_hand += fmt::format("Rowan 12,bench.jpg,{},{},{}\n", cell / 16 + 1, cell % 16 + 1,
                           cell < 96 || cell % 9 == 0 ? 1 : 0);
  const std::string checked = bench.file("checked.csv", by_hand);
  const auto answer_to = [&](std::vector<std::string> more) {
    std::vector<std::string> call = {photo, "--day", "20", "--cells", "100", "--wanted", "1", "--json"};
    call.insert(call.end(), more.begin(), more.end());
    const Said said = advise(call);
    CHECK(said.err == "");
    return Json::parse(said.out);
  };
  const Json plain = answer_to({}), corrected = answer_to({"--checked", checked});
  CHECK(plain["this_tray"]["full"] == 96);
  CHECK(corrected["this_tray"]["cells"] == 128);
  CHECK(corrected["this_tray"]["full"].get<int>() > 100);
  CHECK(corrected["this_tray"]["full"].get<int>() < 112);
  // 84 %, says `braird rate`; the rows in doubt hold plants, so that the sower isn't taken to have missed
  // them.
  CHECK(corrected["germination"]["estimate"].get<double>() == doctest::Approx(.84).epsilon(.03));
  CHECK(plain["remarks"].dump().find("The sower is taken to miss") != std::string::npos);
  CHECK(corrected["remarks"].dump().find("The sower is taken to miss") == std::string::npos);
  CHECK(corrected["next_batch"]["table"][0]["empty"].get<double>() <
        plain["next_batch"]["table"][0]["empty"].get<double>() - .04);
  CHECK(corrected["remarks"].dump().find("Corrected by the counter's error in 43 cells checked by hand.") !=
        std::string::npos);
  CHECK(plain["remarks"].dump().find("checked by hand") == std::string::npos);
  const Said astray =
      advise({photo, "--checked", bench.file("astray.csv", "lot,tray,row,col,count\nA,b.jpg,1,1,1\n")});
  CHECK(astray.code == ExitCode::usage);
  CHECK(astray.err.find("tray b.jpg is none of the photos") != std::string::npos);
}

TEST_CASE("advice is not given on seeds that have yet to come up") {
  const Bench bench;
  const std::string drop = bench.file("drop.jsonl", census_line(96, Counted::seeds)),
                    later = bench.file("later.jsonl", census_line(90));
  const Said said = advise({"--crop", "leek", "--seeds", "4", "--day", "12", "--cells", "100", drop, later});
  CHECK(said.code == ExitCode::usage);
  CHECK(said.err == "braird: bench.jpg was counted for seeds; advice is on seedlings, so leave it out\n");
  CHECK(said.out == "");
}

TEST_CASE("a dead lot: fill from another one, and sow another one") {
  const Bench bench;
  const Said said = advise({bench.file("dead.jsonl", census_line(0)), "--day", "30"});
  CHECK(said.code == ExitCode::ok);
  CHECK(said.out.find("    leave them as they are") != std::string::npos);
  CHECK(said.out.find("resow 128") == std::string::npos);
  CHECK(said.out.find("Fill or resow the gaps from another lot") != std::string::npos);
  CHECK(said.out.find("sow another one.") != std::string::npos);
  CHECK(std::count(said.out.begin(), said.out.end(), '>') == 0);
  CHECK(lines_of(said.out) <= 30);
}
