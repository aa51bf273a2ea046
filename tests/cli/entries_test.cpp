// SPDX-License-Identifier: Apache-2.0
// What a person enters into the ledger, or takes out of it, and what is refused.
#include <doctest/doctest.h>

#include <filesystem>
#include <regex>

#include "tests/cli/ledger_bench.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;

TEST_CASE("lots without a name, or with one that is no UTF-8, are refused before anything is done") {
  const LedgerBench bench;
  for (const std::string lot : {"", "  ", "Bl\xE9"})
    for (const std::vector<std::string>& call : std::vector<std::vector<std::string>>{
             {"note", lot, "--crop", "kale"},
             {"label", "--lot", lot, "--tray", "plug-72", "--out", bench.path("l.svg")}}) {
      const Said said = bench.say(call);
      CHECK(said.code == ExitCode::usage);
      CHECK(said.err.starts_with(lot == "Bl\xE9" ? "braird: the lot's name is not written in UTF-8"
                                                 : "braird: a lot needs a name"));
    }
  CHECK(bench.say({"count", "--keep", "--lot", "Bl\xE9", kPhoto}).code == ExitCode::usage);
  for (const std::string& lot : {std::string("Rowan\n12"), std::string(201, 'x')})
    CHECK(
        bench.say({"note", lot}).err.starts_with("braird: a lot's name is one line of 200 letters at most"));
  CHECK_FALSE(std::filesystem::exists(bench.path("l.svg")));
  CHECK(bench.say({"note", " Rowan 12 "}).code == ExitCode::ok);
  CHECK(bench.say({"lot", "Rowan 12"}).code == ExitCode::ok);
}

TEST_CASE("a note is taken whole or not at all, and says what is new and what it had no use for") {
  const LedgerBench bench;
  CHECK(bench.say({"note", "Typo", "--sown", "2026-01-01", "--plate", "x"}).code == ExitCode::usage);
  CHECK(bench.say({"lots"}).out.find("Typo") == std::string::npos);
  const Said fresh = bench.say({"note", "Rowan 12", "--on", "2026-04-09", "--sown", "2026-04-02"});
  CHECK(fresh.out == "new lot Rowan 12\n");
  CHECK(fresh.err.starts_with("braird: --on was not used; what was decided is told with --decided\n"));
  CHECK(fresh.err.find("braird: --sown was not used") != std::string::npos);
  const Said known = bench.say({"note", "Rowan 12", "--decided", "waited", "--on", "2026-04-09"});
  CHECK(known.out + known.err == "");
  const Said slip = bench.say({"note", "Rowan12", "--variety", "Tarn"});
  CHECK(slip.err == "braird: if Rowan 12 was meant, take this back with braird undo\n");
  CHECK(bench.say({"note", "Rowan 13", "--variety", "Tarn"}).err.empty());
}

TEST_CASE("labels whose sheet cannot be written take no tags") {
  const LedgerBench bench;
  const std::vector<std::string> call = {"label", "--lot", "Rowan 12", "--tray", "plug-72", "--out"};
  auto nowhere = call, here = call;
  nowhere.push_back(bench.path("none/l.svg"));
  here.push_back(bench.path("l.svg"));
  CHECK(bench.say(nowhere).code == ExitCode::trouble);
  CHECK(bench.say({"lots"}).out.find("Rowan") == std::string::npos);
  CHECK(bench.say(here).out.ends_with(": tray A1\n"));
}

TEST_CASE("a sheet without a name never takes the place of one printed before") {
  const LedgerBench bench;
  const auto before = std::filesystem::current_path();
  std::filesystem::current_path(bench.folder.path);
  const auto label = [&](const char* lot) {
    return bench.say({"label", "--lot", lot, "--tray", "plug-72", "--many", "2"}).out;
  };
  CHECK(label("Rowan 12") == "labels.svg: trays A1 to A2\n");
  CHECK(label("Heron 2") == "labels-2.svg: trays A3 to A4\n");
  std::filesystem::current_path(before);
}

TEST_CASE("a label says crop and seeds whole") {
  const LedgerBench bench;
  const std::string sheet = bench.path("l.svg");
  bench.say({"label", "--lot", "Rowan 12", "--tray", "plug-72", "--crop", "butternut squash", "--seeds", "5",
             "--out", sheet});
  std::ifstream in(sheet);
  const std::string svg{std::istreambuf_iterator<char>(in), {}};
  CHECK(svg.find(">butternut squash<") != std::string::npos);
  CHECK(svg.find(">5 seeds a cell<") != std::string::npos);
}

TEST_CASE("a label tells staggered rows of a tray that isn't in the list") {
  const LedgerBench bench;
  const std::string sheet = bench.path("l.svg");
  std::vector<std::string> call = {"label", "--lot", "Rowan 12", "--tray",
                                   "9x14",  "--out", sheet,      "--lattice"};
  call.push_back("staggered");
  CHECK(bench.say(call).code == ExitCode::ok);
  std::ifstream in(sheet);
  const std::string svg{std::istreambuf_iterator<char>(in), {}};
  CHECK(svg.find(">9x14s<") != std::string::npos);
  call.back() = "round";
  CHECK(bench.say(call).err == "braird: --lattice round: must be square or staggered\n");
}

TEST_CASE("cells of a larger draw are taken as drawn, and a cell counted twice is refused") {
  const LedgerBench bench;
  bench.keep_sample();
  const std::string proposed =
      bench.say({"check", "--random", "40", "--unsure", "0", "--picture", bench.path("p.jpg")}).out;
  CHECK(proposed.find("braird check --random 40 --counts FILE") != std::string::npos);
  std::string table = "row,col,count\n";
  const std::regex cell("row ([0-9]+), column ([0-9]+)");
  for (auto at = std::sregex_iterator(proposed.begin(), proposed.end(), cell); at != std::sregex_iterator();
       ++at)
    table += (*at)[1].str() + "," + (*at)[2].str() + ",1\n";
  const Said noted = bench.say({"check", "--counts", bench.write("drawn.csv", table)});
  CHECK(noted.out.find("error in 40 cells drawn at random") != std::string::npos);
  const std::string twice = bench.write("twice.csv", "row,col,count\n1,2,1\n1,1,1\n1,2,0\n");
  CHECK(bench.say({"check", "--counts", twice}).err ==
        "braird: " + twice +
            ", line 4: row 1, column 2 of plug-128-brassica.jpg was counted in line 2 already\n");
}

TEST_CASE("what can only change a ledger makes none") {
  const LedgerBench bench;
  CHECK(bench.say({"undo"}).out.starts_with("there is nothing to take back"));
  CHECK(bench.say({"check"}).err ==
        "braird: the ledger holds no counted photo yet; keep one with braird count --keep\n");
  const std::string table = bench.write("counts.csv", "tray,row,col,count\nK7,1,2,1\n");
  CHECK(bench.say({"check", "--counts", table}).err ==
        "braird: the ledger knows no tray and no photo \"K7\"; name a tag, or a photo that was kept\n");
  CHECK_FALSE(std::filesystem::exists(bench.ledger));
}

TEST_CASE("tables that export did not write are not overwritten") {
  const LedgerBench bench;
  bench.say({"note", "Rowan 12"});
  const std::string out = bench.path("out");
  CHECK(bench.say({"export", out}).code == ExitCode::ok);
  CHECK(bench.say({"export", out}).code == ExitCode::ok);
  const std::string own = bench.write("lots.csv", "lot,supplier\nRowan 12,Ebbwater\n");
  const Said refused = bench.say({"export", bench.folder.path.string()});
  CHECK(refused.code == ExitCode::usage);
  CHECK(refused.err ==
        "braird: " + own + ": is there already, and not from an earlier export; name another folder\n");
  CHECK_FALSE(std::filesystem::exists(bench.path("sowings.csv")));
}
