// SPDX-License-Identifier: Apache-2.0
// What does `braird advise` say of files and options that make no sense?
#include <doctest/doctest.h>

#include <algorithm>

#include "tests/cli/bench.h"
#include "tests/cli/hand_counted.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;

TEST_CASE("files and options that make no sense get one sentence each") {
  const Bench bench;
  const std::string good = bench.file("good.csv", leek_tray());
  const std::string two = bench.file("two.csv", "lot,sown,germinated\nA,100,92\nB,100,92\n");
  struct Refusal {
    std::vector<std::string> call;
    std::string words;
  };
  for (const Refusal& row : std::vector<Refusal>{
           {{}, "nothing is known of the lot: name a file of counts, or state the pack's germination"},
           {{"--germination", "120"}, "--germination 120: must be in percent, from 2 to 100"},
           {{"--germination", "0.92"}, "--germination 0.92: must be in percent, from 2 to 100, as in 92"},
           {{"--germination", "90", "--bed", "-10", "--spacing", "5"}, "--bed -10: must be above 0"},
           {{"--germination", "90", "--bed", "10"}, "tell the spacing in the row too: --spacing CENTIMETRES"},
           {{"--germination", "90", "--bed", "10", "--spacing", "0.12"},
            "--spacing 0.12: must be centimetres, from 1 to 300, as in 12"},
           {{"--germination", "90", "--bed", "0.05", "--spacing", "12"},
            "--bed 0.05: cells of the bed is 0, but must be from 1 to ten million"},
           {{"--germination", "90", "--packs", "1,2,3,4,5,6,7,8,9,10,11,12,13"},
            "--packs 1,2,3,4,5,6,7,8,9,10,11,12,13: must be at most 12 sizes"},
           {{"--germination", "90", "--missed", "0.05"},
            "--missed 0.05: must be in percent, 0 or from 0.5 on, as in 5"},
           {{"--germination", "90", "--cells", "0"}, "--cells 0: must be above 0"},
           {{"--germination", "90", "--cells", "6", "--bed", "10"},
            "--cells and --bed say the same thing twice"},
           {{"--germination", "90", "--cells", "1000000000"},
            "--cells 1000000000: must be at most a hundred million"},
           {{"--germination", "90", "--cells", "249", "--beds", "3"}, "--beds go with --bed"},
           {{"--germination", "90", "--cells", "249", "--every", "2"}, "with --cells leave them out"},
           {{"--germination", "90", "--packs", "500:3,20"},
            "--packs 500:3,20: give each pack a price, or none; a price has a decimal point, as in 500:3.20"},
           {{"--germination", "90", "--wanted", "60"}, "--wanted 60: no more than 50 seeds are sown a cell"},
           {{good, "--seeds", "4", "--sown", "2026-03-01", "--counted", "2026-03-12", "--day", "8"},
            "--day 8: from 2026-03-01 to 2026-03-12 it is 11; leave the day or the dates out"},
           {{good, "--seeds", "4", "--lot", "Nope"}, "--lot Nope: the files don't hold it, but Harebell 3"},
           {{two, "--lot", "C"}, "--lot C: the files don't hold it, but A, B"},
           {{"--germination", "90", "--sown", "2026-04-02", "--planting", "2026-03-02"},
            "--planting 2026-03-02 is before the sowing date 2026-04-02"},
           {{good, "--seeds", "4", "--sown", "2026-04-02", "--counted", "2026-04-01"},
            "the trays were counted before the sowing date 2026-04-02"},
           {{good, "--seeds", "4", "--planting", "2026-04-01"},
            "say when the trays were counted: --counted DATE"},
           {{good, "--seeds", "4", "--planting", "soon"},
            "--planting soon: must be a date, as in 2026-03-19"},
           {{good, "--seeds", "0"}, "--seeds 0: must be from 1 to 50"},
           {{good, "--sown", "inf"},
            "--sown inf: must be a number of seeds, up to a hundred million, or a date"},
           {{good, "--lot", "  "}, "a lot needs a name; tell it as written on the pack"},
           {{good, "--lot", "Bl\xE9"}, "the lot's name is not written in UTF-8"},
           {{good}, "say how many seeds were sown a cell: --seeds N"},
           {{good, "--seeds", "4", "--crop", "lek"},
            "--crop lek: not in the list of crops; did you mean leek?"},
           {{good, "--seeds", "4", "--tray", "plug-129"}, "--tray plug-129: no known tray has this name"},
           {{good, "--seeds", "4", "--tray", "20000x2"},
            "--tray 20000x2: rows and columns must be from 1 to 100"},
           {{good, "--seeds", "4", "--tray", "0"}, "--tray 0: must have from 1 to 10000 cells"},
           {{good, "--seeds", "4", "--wanted", "5-3"},
            "--wanted 5-3: must be a number of plants, or a range as in 3-5"},
           {{good, "--seeds", "4", "--assurance", "100"}, "--assurance 100: must be from 50 to 99.99 %"},
           {{good, "--seeds", "4", "--set", "seed_price"}, "--set seed_price: must be a name and a number"},
           {{good, "--seeds", "4", "--set", "beer=1"}, "--set beer=1: beer is no price, time or limit"},
           {{good, "--seeds", "4", "--set", "seed_price=-1"},
            "seed_price is -1, but must be a number, 0 or more"},
           {{good, "--seeds", "4", "--packs", "0:3"}, "--packs 0:3: must be seeds, or seeds and price"},
           {{good, "--seeds", "4", "--doubles", "120"}, "--doubles 120: must be from 0 to 100 %"},
           {{good, "--seeds", "4", "--temperature", "300"}, "--temperature 300: must be from -10 to 60 °C"},
           {{two}, "the files hold several lots (A, B); say which is meant with --lot"},
           {{"--crop", "kale", "--earlier", two}, "the files hold several lots (A, B)"},
           {{good, "--seeds", "4", "--earlier", two},
            "--earlier: the files hold several lots (A, B), none of which is Harebell 3"},
           {{"missing.csv"}, "missing.csv: no such file; check the name and the folder"},
           {{bench.file("cut.json", "{\"format\": \"braird-cen")}, "is no JSON"},
           {{"--germination", "2", "--set", "pack_worth_seeds=10000", "--cells", "600"}, ""}}) {
    const Said said = said_by("advise", row.call);
    CAPTURE(row.words);
    CAPTURE(said.err);
    if (row.words.empty()) {  // a hopeless lot is an answer, not a mistake
      CHECK(said.code == ExitCode::ok);
      CHECK(said.out.find("sow another one.") != std::string::npos);
      continue;
    }
    CHECK(said.code != ExitCode::ok);
    CHECK(said.out == "");
    CHECK(said.err.find(row.words) != std::string::npos);
    CHECK(std::count(said.err.begin(), said.err.end(), '\n') == 1);
  }
  CHECK(said_by("advise", {two, "--lot", "B"}).out.starts_with("Lot B"));
  CHECK(said_by("advise", {two, "--lot", "b"}).out.starts_with("Lot B"));
  CHECK(said_by("advise", {"--crop", "kale", "--earlier", two, "--lot", "b"}).out.starts_with("Lot B"));
}
