// SPDX-License-Identifier: Apache-2.0
// What `braird rate` makes of what it is told beside the counts.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "calibration/census_json.h"
#include "tests/cli/bench.h"
#include "tests/cli/hand_counted.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;
using Json = nlohmann::ordered_json;

namespace {

/// A 2 x 2 tray of the crop on 24 March, all up.
std::string photo_of(const std::string& crop) {
  Census census;
  census.photo = {crop + ".jpg", 2400, 1800, "2026-03-24T00:00:00"};
  Tray tray;
  tray.layout = {2, 2, LatticeKind::square}, tray.fit = .99, tray.pitch_px = 80;
  tray.crop = crop;
  tray.seeds_per_cell = 1;
  for (int at = 0; at < 4; ++at) tray.cells.push_back({at / 2, at % 2, {}, 1, {.02, .98}, false});
  census.trays.push_back(tray);
  return to_json(census).dump() + "\n";
}

}  // namespace

TEST_CASE("the legal minimum is told of a crop by whatever name the list has for it") {
  const Bench bench;
  const std::string file = bench.file("early.csv", "lot,day,germinated\nRowan,12,80\n");
  const auto said = [&](const std::string& crop) {
    return said_by("rate", {file, "--sown", "100", "--crop", crop}).out;
  };
  CHECK(said("pak-choi").find("Least germination of pak-choi seed on sale: 75 % in the United States. ") !=
        std::string::npos);
  CHECK(said("french bean").find("of bean seed on sale: 70 % in the United States, 75 % in the European") !=
        std::string::npos);
  for (const char* crop : {"salad onion", "brassica", "rhubarb", "scorzonera"})
    CHECK(said(crop).find("Least germination of ") != std::string::npos);
}

TEST_CASE("of what came before the first count only that is said") {
  const Bench bench;
  const std::string file = bench.file("early.csv", "lot,day,germinated\nRowan,2,1\n");
  const Said said = said_by("rate", {file, "--sown", "100", "--crop", "kale"});
  CHECK(said.code == ExitCode::ok);
  CHECK(said.out.find("of those up, 90 % or more by day 2, the first count") != std::string::npos);
}

TEST_CASE("a lot is of the crop that its photos name, if none is told") {
  const Bench bench;
  const std::string kale = photo_of("kale"), beet = photo_of("beet"), weed = photo_of("buttercup");
  const auto said = [&](const std::string& lines, std::vector<std::string> more) {
    more.insert(more.begin(), {bench.file("counts.jsonl", lines), "--sown", "2026-03-19"});
    return said_by("rate", more);
  };
  CHECK(said(kale, {}).out == said(kale, {"--crop", "kale"}).out);
  CHECK(said(kale, {}).out.find("Too early to judge") != std::string::npos);
  CHECK(said(kale, {"--temperature", "12"}).out == said(kale, {"--crop", "kale", "--temperature", "12"}).out);
  const std::string both = said(kale + beet, {}).out;
  CHECK(both.find("Least germination of kale seed on sale: 75 % in the United States, 75 % in the European "
                  "Union. Least germination of beet seed on sale: ") != std::string::npos);
  CHECK(both.find("A tray is no laboratory test.") == both.rfind("A tray is no laboratory test."));
  const Json apart = Json::parse(said(kale + beet, {"--json"}).out),
             told = Json::parse(said(kale + beet, {"--json", "--crop", "leek"}).out),
             unlisted = Json::parse(said(weed, {"--json"}).out);
  CHECK(apart["lots"][0]["crop"] == "kale");
  CHECK(apart["lots"][1]["crop"] == "beet");
  CHECK(apart["minimum_germination"].is_null());
  CHECK(told["lots"][0]["crop"] == "leek");
  CHECK(told["minimum_germination"]["crop"] == "leek");
  CHECK(unlisted["lots"][0]["crop"].is_null());
  CHECK(said(weed, {"--temperature", "12"}).err.find("is told by --crop") != std::string::npos);
}

TEST_CASE("hand-counted clusters exceed 100 % only where the crop says so") {
  const Bench bench;
  const std::string file =
      bench.file("clusters.csv", "lot,tray,row,col,count\nA,x,1,1,2\nA,x,1,2,3\nA,x,2,1,1\nA,x,2,2,0\n");
  const Json beets = Json::parse(
                 said_by("rate", {file, "--seeds", "1", "--crop", "beet", "--json"}).out)["lots"][0],
             kale = Json::parse(
                 said_by("rate", {file, "--seeds", "1", "--crop", "kale", "--json"}).out)["lots"][0],
             unnamed = Json::parse(said_by("rate", {file, "--seeds", "1", "--json"}).out)["lots"][0];
  CHECK(beets["germination_rate"]["estimate"] == 1.5);
  CHECK(beets["surplus"] == 0);
  for (const Json& lot : {kale, unnamed}) {
    CHECK(lot["germination_rate"]["estimate"] == .75);
    CHECK(lot["germination_rate"]["high"].get<double>() <= 1);
    CHECK(lot["surplus"] == 3);
  }
}

TEST_CASE("lots of several files are joined; one counted in two ways is refused") {
  const Bench bench;
  const std::string one = bench.file("one.csv", "lot,sown,germinated\nA,100,92\n"),
                    two = bench.file("two.csv", "lot,sown,germinated\nA,100,88\nB,50,40\n"),
                    days = bench.file("days.csv", "lot,day,germinated\nA,3,1\nA,4,3\n");
  CHECK(said_by("rate", {one, two}).out.find("Lot A: 180 seedlings from 200 seeds") != std::string::npos);
  const Said said = said_by("rate", {one, days, "--sown", "20"});
  CHECK(said.code == ExitCode::usage);
  CHECK(said.err.find("lot A was counted in an earlier file in another way") != std::string::npos);
}

TEST_CASE("tables that a spreadsheet saved as Unicode text (UTF-16) are read, damaged ones refused") {
  const Bench bench;
  const std::u16string table = u"\uFEFFlot\tsown\tgerminated\r\nGrünkohl Ö\t100\t92\r\n";
  for (const bool low_first : {true, false}) {
    std::string bytes;
    for (const char16_t unit : table)
      for (const bool low : {low_first, !low_first})
        bytes += static_cast<char>(low ? unit & 0xff : unit >> 8);
    CHECK(said_by("rate", {bench.file("table.txt", bytes)})
              .out.starts_with("Lot Grünkohl Ö: 92 seedlings from 100 seeds\n"));
    const std::string cut = bench.file("cut.txt", bytes.substr(0, bytes.size() - 1));
    const Said refused = said_by("rate", {cut});
    CHECK(refused.code == ExitCode::trouble);
    CHECK(refused.err ==
          "braird: " + cut + ": is damaged or cut off (UTF-16); save it again, best in UTF-8\n");
  }
}

TEST_CASE("an interval allows for seeds of a replicate, not of a cell, where no cells were counted") {
  const Bench bench;
  const std::string two = bench.file("two.csv", "lot,sown,germinated\nA,100,92\nA,100,88\n"),
                    one = bench.file("one.csv", "lot,sown,germinated\nA,100,92\n"),
                    days = bench.file("days.csv", "lot,day,germinated\nA,3,60\nA,5,20\nA,9,4\n");
  CHECK(said_by("rate", {two}).out.find("allows for seeds of a replicate that fail together (Wilson)") !=
        std::string::npos);
  for (const auto& said : {said_by("rate", {one}), said_by("rate", {days, "--sown", "100"})}) {
    CHECK(said.out.find("% interval") != std::string::npos);
    CHECK(said.out.find("fail together") == std::string::npos);
  }
}
