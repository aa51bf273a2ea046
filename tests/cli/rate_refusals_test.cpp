// SPDX-License-Identifier: Apache-2.0
// What does `braird rate` say of files and options that make no sense?
#include <doctest/doctest.h>

#include <algorithm>

#include "tests/cli/bench.h"
#include "tests/cli/hand_counted.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;

TEST_CASE("bad rows: all are told, nothing is half-computed") {
  const Bench bench;
  const std::string file = bench.file("bad.csv", "lot,sown,germinated\nA,100,92\nA,many,88\nA,50\n");
  const Said said = said_by("rate", {bench.file("good.csv", leeks_but_column_5()), file});
  CHECK(said.code == ExitCode::usage);
  CHECK(said.out == "");
  CHECK(said.err == "braird: " + file +
                        ", line 3: sown is \"many\", but must be a whole number from 0 to 100000\n" +
                        "braird: " + file + ", line 4: germinated is missing\n");
  const std::string hand = bench.file("hand.csv", "row,col,count\n1,1,1\n1,x,1\n2,y,1\n");
  const Said checking =
      said_by("check", {"--counts", hand, kPhoto, "--ledger", (bench.folder.path / "l.sqlite").string()});
  CHECK(checking.code == ExitCode::usage);
  for (const char* row : {", line 3: ", ", line 4: "})
    CHECK(checking.err.find("braird: " + hand + row) != std::string::npos);
}

TEST_CASE("files and options that make no sense get one sentence each") {
  const Bench bench;
  const std::string good = bench.file("good.csv", leeks_but_column_5());
  struct Refusal {
    std::vector<std::string> call;
    std::string words;
  };
  for (const Refusal& row : std::vector<Refusal>{
           {{"missing.csv"}, "missing.csv: no such file; check the name and the folder"},
           {{bench.folder.path.string()}, "is a folder; name a file in it"},
           {{bench.file("empty.csv", "")}, "holds no counts"},
           {{bench.file("photo.jpg", "\xFF\xD8\xFF\xE0 no table")},
            "if it is a photo, count it first: braird count --json"},
           {{bench.file("other.json", "{\"a\": 1}")}, "this is no sound census"},
           {{bench.file("cut.json", "{\"format\": \"braird-cen")}, "is no JSON"},
           {{good, "--seeds", "0"}, "--seeds 0: must be from 1 to 50"},
           {{good, "--seeds", "60"}, "--seeds 60: must be from 1 to 50"},
           {{good, "--temperature", "900"}, "--temperature 900: must be from -10 to 60 °C"},
           {{good, "--temperature", "18"},
            "--temperature 18: how long that makes a crop take is told by --crop"},
           {{good, "--sown", "soon"},
            "--sown soon: must be a number of seeds, up to a hundred million, or a date"},
           {{good, "--sown", "inf"}, "--sown inf: must be a number of seeds"},
           {{good, "--sown", "1e300"}, "--sown 1e300: must be a number of seeds"},
           {{good, "--sown", "2026-03-19"}, "--sown 2026-03-19: a sowing date is for photos"},
           {{good, "--sown", "100"}, "--sown 100: a number of seeds is for daily counts"},
           {{good, "--lot", "Rowan 12"}, "--lot Rowan 12: tells the lot of photos"},
           {{good, "--lattice", "round"}, "--lattice round: must be square or staggered"},
           {{good, "--crop", "lek"}, "--crop lek: not in the list of crops; did you mean leek?"}}) {
    const Said said = said_by("rate", row.call);
    CAPTURE(row.words);
    CAPTURE(said.err);
    CHECK(said.code != ExitCode::ok);
    CHECK(said.out == "");
    CHECK(said.err.find(row.words) != std::string::npos);
    CHECK(std::count(said.err.begin(), said.err.end(), '\n') <= 2);
  }
}
