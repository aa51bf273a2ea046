// SPDX-License-Identifier: Apache-2.0
// `braird rate` from files to printed answer.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "calibration/advice.h"
#include "calibration/census_json.h"
#include "cli/text/answer.h"
#include "tests/cli/bench.h"
#include "tests/cli/hand_counted.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;
using Json = nlohmann::ordered_json;

namespace {

Said rate(std::vector<std::string> arguments) {
  return said_by("rate", std::move(arguments));
}

// Wheat at 22 °C: Ritz, Pipper & Streibig 2013, Eur J Agron 45:1-6.
constexpr const char* kWheat =
    "lot,day,germinated\nwheat,2,0\nwheat,3,1\nwheat,4,12\nwheat,5,3\nwheat,6,0\nwheat,7,3\nwheat,9,0\n";

std::string census_line(const std::string& taken, int full_cells) {
  Census census;
  census.photo = {"bench-" + taken.substr(8, 2) + ".jpg", 2400, 1800, taken};
  Tray tray;
  tray.layout = {4, 5, LatticeKind::square};
  tray.fit = .99;
  tray.pitch_px = 80;
  tray.crop = "onion";
  tray.seeds_per_cell = 1;
  for (int at = 0; at < 20; ++at) {
    Cell cell{at / 5, at % 5, {}, at < full_cells, {}, false};
    cell.probability = at < full_cells ? std::vector<double>{.02, .98} : std::vector<double>{1, 0};
    tray.cells.push_back(cell);
  }
  census.trays.push_back(tray);
  return to_json(census).dump() + "\n";
}

}  // namespace

// 8 gaps of 104: Wilson's equation with Student's t of 1.982417 (calibration/rates.h), 3.920 to 14.546 % by
// SciPy 1.10.1.
TEST_CASE("a hand-counted tray with a jammed hole, in words") {
  const Bench bench;
  const Said said = rate({bench.file("bench.csv", leeks_but_column_5()), "--seeds", "2", "--crop", "leek"});
  CHECK(said.code == ExitCode::ok);
  CHECK(said.err == "");
  CHECK(said.out == R"(Lot Harebell 3: 1 tray, 104 cells, 8 gaps, 183 seedlings from 208 seeds
  Germination       88 %   95 % interval 81 to 93 %   allows for seeds of a cell that fail together (Wilson)
  Gaps             7.7 %   95 % interval 3.9 to 15 %   (Wilson over cells)
  Shared fate    Whole cells failed more often than by chance: look at the sower, the depth and the watering (ρ 0.591, Tarone's Z 6.03)
  Why gaps       8 empty cells against about 2 expected at 88 % germination: more gaps than this germination explains; all of them lie in column 5.
  Look here      Column 5 has 100 % gaps (8 of 8), the rest 0 %: check the sower's hole or line for this column. (p 1.1e-10)

Least germination of leek seed on sale: 60 % in the United States, 65 % in the European Union. A tray is no laboratory test. For orientation only: seed law and licensed laboratories decide, not this tool.
)");
}

TEST_CASE("published: wheat's indices and fit through --json") {
  const Bench bench;
  const Said said = rate({bench.file("wheat.csv", kWheat), "--sown", "20", "--json"});
  REQUIRE(said.code == ExitCode::ok);
  const Json answer = Json::parse(said.out);
  CHECK(answer["format"] == "braird-rates");
  const Json& course = answer["lots"][0]["time_course"];
  CHECK(course["t50_coolbear"].get<double>() == doctest::Approx(3.75));
  CHECK(course["t50_farooq"].get<double>() == doctest::Approx(3.70833).epsilon(1e-5));
  CHECK(course["mean_germination_time"].get<double>() == doctest::Approx(4.57895).epsilon(1e-5));
  CHECK(course["fit"]["d"].get<double>() == doctest::Approx(.95171).epsilon(1e-5));
  CHECK(course["fit"]["standard_errors"]["d"].get<double>() == doctest::Approx(.0489).epsilon(1e-3));
  CHECK(course["final_rate"]["high"].get<double>() <= 1);
  CHECK(answer["lots"][0]["gap_rate"]["estimate"].is_null());
  CHECK(answer["lots"][0]["seeds_sown"] == 20);
}

TEST_CASE("every lot of the JSON has all its keys, whatever was counted") {
  const Bench bench;
  const std::vector<std::vector<std::string>> calls = {
      {bench.file("bench.csv", leeks_but_column_5()), "--seeds", "2"},
      {bench.file("bench.csv", leeks_but_column_5())},
      {bench.file("wheat.csv", kWheat), "--sown", "20"},
      {bench.file("dishes.csv", "lot,sown,germinated\nA,100,92\nA,100,88\nB,50,0\n")},
      {bench.file("census.jsonl", census_line("2026-03-26T08:00:00", 12))}};
  for (auto call : calls) {
    call.push_back("--json");
    const Said said = rate(call);
    REQUIRE(said.code == ExitCode::ok);
    const Json report = Json::parse(said.out);
    for (const Json& lot : report["lots"]) {
      for (const char* rate : {"germination_rate", "gap_rate"})
        for (const char* key : {"estimate", "low", "high", "method"}) CHECK(lot[rate].contains(key));
      for (const char* key : {"rho", "tarone_z", "log_likelihood"})
        CHECK(lot["overdispersion"].contains(key));
      CHECK(lot["findings"].is_array());
      CHECK(lot.contains("time_course"));
    }
  }
  const Json lot = Json::parse(rate({calls[0][0], "--seeds", "2", "--json"}).out)["lots"][0];
  CHECK(lot["findings"][0]["kind"] == "column");
  CHECK(lot["findings"][0]["place"] == "column 5");
  CHECK(lot["findings"][0]["p_adjusted"].get<double>() < .05);
}

TEST_CASE("photos of three days are a time course, and onions at 15 °C are judged too early") {
  const Bench bench;
  const std::string file =
      bench.file("days.jsonl", census_line("2026-03-24T00:00:00", 2) + census_line("2026-03-25T00:00:00", 7) +
                                   census_line("2026-03-26T00:00:00", 12));
  const Said said = rate({file, "--sown", "2026-03-19", "--crop", "onion", "--temperature", "15"});
  CHECK(said.code == ExitCode::ok);
  CHECK(said.out.find("Lot onion: 1 tray, 20 cells, 8 gaps") != std::string::npos);
  CHECK(said.out.find("Too early to judge: this is day 7 after sowing, and onion may come up until about day "
                      "10; look again then.") != std::string::npos);
  CHECK(said.out.find("of those up, 10 % before day 5, half by day 5.9, 90 % by day 6.8") !=
        std::string::npos);
  CHECK(said.out.find("Check by hand  row 1, column 1; ") != std::string::npos);
}

TEST_CASE("a tray of the lot counted by hand leaves its photos' day and kind of seed as they are") {
  const Bench bench;
  const std::string photo = bench.file("onion.jsonl", census_line("2026-03-26T09:30:00", 12)),
                    hand = bench.file("hand.csv", "lot,tray,row,col,count\nonion,A,1,1,1\nonion,A,1,2,0\n");
  for (const auto& [one, other] : {std::pair{photo, hand}, std::pair{hand, photo}}) {
    const Said said = rate({one, other, "--sown", "2026-03-21", "--crop", "onion", "--seeds", "1"});
    CHECK(said.out.find("Too early to judge: this is day 5 after sowing") != std::string::npos);
  }
  const std::string twice = bench.file(
      "twice.jsonl", census_line("2026-03-25T09:30:00", 9) + census_line("2026-03-26T09:30:00", 12));
  CHECK(rate({twice, "--sown", "2026-03-19"}).out.find("10 % before day 6.4, ") != std::string::npos);
}

TEST_CASE("count, rate and advise name one day on which to look again") {
  const Bench bench;
  const std::vector<std::string> tray = {kPhoto, "--tray", "plug-128",   "--crop",  "kale",      "--seeds",
                                         "1",    "--sown", "2026-04-02", "--taken", "2026-04-09"};
  const auto with = [&](const std::string& option) {
    std::vector<std::string> arguments = tray;
    if (!option.empty()) arguments.push_back(option);
    return said_by("count", std::move(arguments)).out;
  };
  CHECK(with("").find("Wait, and count again on day 10") != std::string::npos);
  const std::string file = bench.file("kale.jsonl", with("--json"));
  const auto said = [&](const std::string& command, const std::string& celsius) {
    return said_by(command, {file, "--crop", "kale", "--sown", "2026-04-02", "--temperature", celsius}).out;
  };
  for (const std::string celsius : {"12", "15", "22"}) {
    CHECK(said("rate", celsius).find("kale may come up until about day 10; look again then.") !=
          std::string::npos);
    CHECK(said("advise", celsius).find("> wait until day 10 ") != std::string::npos);
  }
}

TEST_CASE("count and rate give one answer for one photo, surplus and doubt included") {
  Census census;
  census.photo = {"bench.jpg", 2400, 1800, "2026-03-26T08:00:00"};
  Tray tray;
  tray.layout = {4, 5, LatticeKind::square};
  tray.fit = .99;
  tray.pitch_px = 80;
  tray.crop = "kale";
  tray.seeds_per_cell = 1;
  for (int at = 0; at < 20; ++at) {
    Cell cell{at / 5, at % 5, {}, at < 4 ? 0 : at < 17 ? 1 : 2, {}, false};
    cell.probability = at < 4    ? std::vector<double>{.9, .1, 0}
                       : at < 17 ? std::vector<double>{.1, .6, .3}
                                 : std::vector<double>{.05, .05, .9};
    tray.cells.push_back(cell);
  }
  census.trays = {tray};
  const Evidence counted = weigh(tray, find_crop(built_in_profiles(), "kale"), 7);
  const Bench bench;
  const std::string file = bench.file("census.jsonl", to_json(census).dump());
  const Json lot = Json::parse(rate({file, "--json"}).out)["lots"][0];
  CHECK(lot["germination_rate"]["estimate"] == .8);
  CHECK(lot["surplus"] == 3);
  CHECK(lot["seedlings"] == 19);
  for (const auto& [name, figure] :
       {std::pair{"germination_rate", *counted.germination}, {"gap_rate", counted.gaps}}) {
    CHECK(lot[name]["estimate"] == figure.estimate);
    CHECK(lot[name]["low"] == figure.low);
    CHECK(lot[name]["high"] == figure.high);
    CHECK(lot[name]["method"].get<std::string>().ends_with("with the counter's doubt"));
  }
  CHECK(rate({file}).out.find("3 seedlings beyond the seeds sown in their cells") != std::string::npos);
  CHECK(cli::answer(census, {}).find("Germination    80 %") != std::string::npos);
  CHECK(cli::answer(census, {}).find("16 seedlings from 20 seeds") != std::string::npos);
}

TEST_CASE("cells checked by hand correct the rates") {
  const Bench bench;
  const std::string file = bench.file("census.jsonl", census_line("2026-03-26T08:00:00", 12));
  const std::string hand = bench.file("hand.csv",
                                      "lot,tray,row,col,count\n,bench-26.jpg,1,1,1\n,bench-26.jpg,1,3,1\n"
                                      ",bench-26.jpg,4,4,1\n,bench-26.jpg,3,5,0\n");
  const Said said = rate({file, "--checked", hand});
  CHECK(said.err == "braird: " + hand + ", line 2: lot is missing\nbraird: " + hand +
                        ", line 3: lot is missing\nbraird: " + hand +
                        ", line 4: lot is missing\nbraird: " + hand + ", line 5: lot is missing\n");
  const std::string named = bench.file("named.csv",
                                       "lot,tray,row,col,count\nx,bench-26.jpg,1,1,1\nx,bench-26.jpg,1,3,1\n"
                                       "x,bench-26.jpg,4,4,1\nx,bench-26.jpg,3,5,0\n");
  const Json lot = Json::parse(rate({file, "--checked", named, "--json"}).out)["lots"][0];
  CHECK(lot["remarks"].dump().find("4 cells counted by hand stand in the counter's place; 8 or more") !=
        std::string::npos);
  std::string drawn = "lot,tray,row,col,count\n";
  for (int col = 1; col <= 3; ++col)
    for (int row = 1; row <= 3; ++row) drawn += fmt::format("x,bench-26.jpg,{},{},1\n", row, col);
  const Json checked =
      Json::parse(rate({file, "--checked", bench.file("drawn.csv", drawn), "--json"}).out)["lots"][0];
  CHECK(checked["germination_rate"]["method"].get<std::string>().ends_with(", 9 cells checked by hand"));
  CHECK(checked["check_next"].dump().find("row 4, column 1") == std::string::npos);  // surely empty
  CHECK(checked["check_next"].dump().find("row 1, column 1") == std::string::npos);  // just checked
  CHECK(checked["check_next"].dump().find("row 1, column 4") != std::string::npos);
}

TEST_CASE("what is given twice is counted once, with a remark") {
  const Bench bench;
  const std::string early = census_line("2026-04-02T08:00:00", 9),
                    late = census_line("2026-04-03T08:00:00", 12);
  const std::string one = bench.file("one.jsonl", early), both = bench.file("both.jsonl", early + late),
                    hand = bench.file("hand.csv", leeks_but_column_5());
  const auto lot = [](const std::vector<std::string>& files) {
    std::vector<std::string> arguments{"--json"};
    arguments.insert(arguments.end(), files.begin(), files.end());
    return Json::parse(rate(arguments).out)["lots"][0];
  };
  const auto check_once = [&](const std::vector<std::string>& files, const std::string& remark, Json once) {
    const Json again = lot(files);
    const Json &remarks = again["remarks"], wanted = remark + " given more than once and counted once.";
    CHECK(std::count(remarks.begin(), remarks.end(), wanted) == 1);
    once["remarks"] = again["remarks"];
    CHECK(again == once);
  };
  check_once({one, one}, one + " was", lot({one}));
  check_once({hand, hand}, hand + " was", lot({hand}));
  check_once({both, one}, "bench-02.jpg was", lot({both}));
  check_once({both, one, both}, both + " and 1 more were", lot({both}));
}
