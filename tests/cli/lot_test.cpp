// SPDX-License-Identifier: Apache-2.0
// What is noted and said of lots, by `braird note`, `lots` and `lot`.
#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <random>
#include <sstream>

#include "calibration/csv.h"
#include "cli/app.h"
#include "cli/kept_advice.h"
#include "cli/text/wrapped.h"
#include "tests/cli/kept_report.h"
#include "tests/cli/ledger_bench.h"
#include "tests/cli/reported_trays.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;
using Json = nlohmann::ordered_json;

namespace {

/// Kale of which so many of 128 cells are up.
Tray kale_tray(int up, const char* tag) {
  std::vector<int> counts(128, 0);
  std::fill_n(counts.begin(), up, 1);
  std::ranges::shuffle(counts, std::mt19937(static_cast<unsigned>(up)));
  Tray tray = tray_with({8, 16, LatticeKind::square}, counts);
  tray.label = TrayLabel{tag, {}, {}, {}, {}, {}};
  return tray;
}

}  // namespace

TEST_CASE("notes, filters, tables and their refusals") {
  const LedgerBench bench;
  bench.keep_sample();
  CHECK(bench
            .say({"note", "Rowan 12", "--stated", "99", "--treated", "yes", "--decided", "waited", "--on",
                  "2026-04-09"})
            .err.find("gloves") != std::string::npos);
  CHECK(bench.say({"lot", "rowan 12"}).out.find("2026-04-09  waited") != std::string::npos);
  CHECK(bench.say({"note", "Rowan 12", "--stated", "190"}).code == ExitCode::usage);
  CHECK(bench.say({"note", "Rowan 12", "--tested", "soon"}).code == ExitCode::usage);
  CHECK(bench.say({"note", "Rowan 12", "--topping", "sand"}).code == ExitCode::usage);
  CHECK(bench.say({"lot", "Rowan 12", "--cells", "--csv"}).err ==
        "braird: --cells and --csv can't go together; --json tells both\n");
  CHECK(bench.say({"lot", "Rowan 21"}).err ==
        "braird: the ledger knows no lot \"Rowan 21\"; it knows Rowan 12\n");
  CHECK(bench.say({"lots", "--since", "2026-05-01", "--csv"}).out.find("Rowan") == std::string::npos);
  CHECK(bench.say({"lots", "--since", "May"}).code == ExitCode::usage);
  CHECK(bench.say({"lots", "--crop", "kail"}).out == "the only lot is not kail; crops kept: kale\n");
  CHECK(bench.say({"lots", "--crop", "kale", "--since", "2027-01-01"}).out ==
        "no lot of kale was sown since 2027-01-01\n");
  CHECK(bench.say({"report", "--crop", "beet", "--out", bench.path("none.html")}).err ==
        "braird: the only lot is not beet; crops kept: kale\n");
  CHECK_FALSE(std::filesystem::exists(bench.path("none.html")));
  std::istringstream csv(bench.say({"lots", "--csv"}).out);
  const auto rows = read_csv(csv);
  REQUIRE(rows.size() == 2);
  CHECK(rows[0].fields.size() == rows[1].fields.size());
  CHECK(bench.say({"export", bench.path("out")}).out.find("cells.csv: 128 rows\n") != std::string::npos);
  CHECK(said_on({"import", bench.path("out"), "--ledger", bench.path("other.sqlite")}).code == ExitCode::ok);
  const auto without_cache = [](const Said& said) { return said.out; };
  CHECK(without_cache(said_on({"lots", "--json", "--ledger", bench.path("other.sqlite")})) ==
        without_cache(bench.say({"lots", "--json"})));
  for (const char* place : {"north", "south"}) std::filesystem::create_directories(bench.path(place));
  bench.write("north/lots.csv", "lot\nAlpha\n");
  CHECK(bench.say({"import", bench.path("north")}).out == "lots: 1 row\n");
  bench.write("south/lots.csv", "lot\nBeta\n");
  CHECK(bench.say({"import", bench.path("north"), bench.path("south")}).out == "lots: 2 rows\n");
  CHECK(bench.say({"lots", "--csv"}).out.find("Alpha") != std::string::npos);
  CHECK(bench.say({"import", bench.path("none")}).err.find("no such file or folder") != std::string::npos);
  CHECK(bench.say({"import", bench.write("beans.csv", "a,b\n")}).code == ExitCode::usage);
  CHECK(said_on({"count", "--tag", "K7", kPhoto}).code == ExitCode::usage);
  CHECK(said_on({"count", "--ledger", bench.path("l.sqlite"), kPhoto}).err.find("say --keep too") !=
        std::string::npos);
  CHECK(said_on({"count", "--keep", "--as-before", kPhoto}).err.find("name it by --tag") !=
        std::string::npos);
}

TEST_CASE("a crop that the list lacks is noted and printed, with a word") {
  const LedgerBench bench;
  CHECK(bench.say({"note", "Zed", "--crop", "lettuse"}).err ==
        "braird: the crop \"lettuse\" is not in the list of crops (did you mean lettuce?)\n");
  CHECK(bench.say({"label", "--lot", "Zed", "--crop", "kail", "--tray", "8x16", "--out", bench.path("l.svg")})
            .err == "braird: the crop \"kail\" is not in the list of crops (did you mean kale?)\n");
}

TEST_CASE("a lot says of seeds that share a cell what rate says of them") {
  Kept kept;
  std::vector<int> counts;
  for (int cell = 0; cell < 128; ++cell) counts.push_back(cell % 16 < 4 ? 1 : cell % 16 < 13 ? 2 : 0);
  Tray tray = tray_with({8, 16, LatticeKind::square}, counts);
  tray.seeds_per_cell = 2;
  kept.keep("pairs.jpg", tray, "Rowan 12", "2026-03-01", "2026-03-13T09:00:00");
  CHECK(kept.say("lot", {"Rowan 12"})
            .out.find("  Shared fate  Whole cells failed more often than by chance: look at the sower, the "
                      "depth and the watering (ρ 0.") != std::string::npos);
}

TEST_CASE("while more may come up, a lot names no seeds a cell for the next time") {
  const LedgerBench bench;
  bench.keep_sample();  // kale on day 7; 7 CFR 201.58: final count on day 10
  CHECK(bench.say({"lot", "Rowan 12"})
            .out.find("Next time    count again first: more may come up until about "
                      "day 10\n") != std::string::npos);
  CHECK(Json::parse(bench.say({"lot", "Rowan 12", "--json"}).out)["fewest_seeds"].is_null());
}

TEST_CASE("an earlier sowing seen only while it came up doesn't speak in the next one's advice") {
  Kept kept;
  kept.keep("young.jpg", kale_tray(19, "K1"), "Rowan 12", "2026-03-01", "2026-03-05T09:00:00");
  kept.keep("ripe.jpg", kale_tray(113, "K2"), "Rowan 12", "2026-03-15", "2026-03-27T09:00:00");
  kept.keep("alone.jpg", kale_tray(113, "K3"), "Heron 2", "2026-03-15", "2026-03-27T09:00:00");
  const auto seeds = [&](const char* lot) {
    return Json::parse(kept.say("lot", {lot, "--json"}).out)["fewest_seeds"];
  };
  CHECK(seeds("Heron 2") == 2);
  CHECK(seeds("Rowan 12") == 2);
}

TEST_CASE("what stands out is said of its tray, where the lot has several") {
  std::vector<int> counts(128, 1);
  for (std::size_t row = 0; row < 8; ++row) counts[row * 16 + 4] = 0;
  Kept kept;
  const auto keep = [&](const char* photo, const char* tag, std::vector<int> up) {
    Tray tray = tray_with({8, 16, LatticeKind::square}, std::move(up));
    tray.label = TrayLabel{tag, {}, {}, {}, {}, {}};
    kept.keep(photo, tray, "Rowan 12", "2026-03-01", "2026-03-13T09:00:00");
  };
  keep("jammed.jpg", "K1", counts);
  CHECK(kept.say("lot", {"Rowan 12"}).out.find("  Look here    Column 5 has 100 % gaps") !=
        std::string::npos);
  keep("full.jpg", "K2", std::vector<int>(128, 1));
  CHECK(kept.say("lot", {"Rowan 12"}).out.find("  Look here    K1: Column 5 has 100 % gaps") !=
        std::string::npos);
}

TEST_CASE("a sowing is judged when the last of its trays is up") {
  Kept kept;
  kept.keep("ripe.jpg", kale_tray(115, "K1"), "Rowan 12", "2026-03-01", "2026-03-13T09:00:00");
  kept.keep("young.jpg", kale_tray(26, "K2"), "Rowan 12", "2026-03-01", "2026-03-06T09:00:00");
  CHECK(kept.say("lot", {"Rowan 12"}).out.find("count again first: more may come up until about day 10") !=
        std::string::npos);
  const ledger::KeptLot lot = ledger::read_lot(kept.ledger, "Rowan 12");
  const auto advice = cli::latest_advice(lot);
  REQUIRE(advice.has_value());
  CHECK(advice->stand.value().rule.action == Action::wait);
}

TEST_CASE("a lot names the seeds a cell that advice on the same counts names") {
  const LedgerBench bench;
  const std::vector<std::string> photo = {"--tray", "plug-128",   "--crop",  "leek",       "--seeds", "2",
                                          "--sown", "2026-03-01", "--taken", "2026-04-09", kPhoto};
  const auto counted = [&](std::vector<std::string> arguments) {
    arguments.insert(arguments.end(), photo.begin(), photo.end());
    return arguments;
  };
  REQUIRE(bench.say(counted({"count", "--keep", "--lot", "Rowan 12"})).code == ExitCode::ok);
  const std::string file = bench.write("leek.jsonl", said_on(counted({"count", "--json"})).out);
  const Json advice =
      Json::parse(said_on({"advise", file, "--crop", "leek", "--sown", "2026-03-01", "--json"}).out);
  const Json lot = Json::parse(bench.say({"lot", "Rowan 12", "--json"}).out);
  CHECK(lot["fewest_seeds"] == advice["next_batch"]["chosen"]);
  CHECK(
      bench.say({"lot", "Rowan 12"})
          .out.find(
              " seeds a cell: the fewest seeds that leave at most 5 % of the cells with under 2 plants\n") !=
      std::string::npos);
}

namespace {

/// A tray of which the first cells are up.
Tray up_to(Layout layout, int up) {
  std::vector<int> counts(static_cast<std::size_t>(layout.rows * layout.cols));
  std::fill_n(counts.begin(), up, 1);
  return tray_with(layout, counts);
}

}  // namespace

TEST_CASE("while a lot's latest tray still rises, no seeds a cell are named, however old it is") {
  Kept kept;
  for (const auto& [day, up] : {std::pair("10", 2), std::pair("12", 10), std::pair("14", 50)}) {
    Census census;
    census.photo = {day, 1000, 800, std::string("2026-04-") + day};
    census.trays = {up_to({8, 16}, up)};
    ledger::keep(kept.ledger, std::string(14, 'x') + day, census, {"Late", "2026-04-02", "T1", true});
  }
  const std::string said = kept.say("lot", {"Late"}).out;
  CHECK(said.find("Next time    count again first: the latest sowing still rises\n") != std::string::npos);
  CHECK(said.find("the law asks") == std::string::npos);
  CHECK(Json::parse(kept.say("lot", {"Late", "--json"}).out)["fewest_seeds"].is_null());
}

TEST_CASE("trays of two kinds sown on one day are judged together, whichever was kept first") {
  Kept one, other;
  const auto keep = [](Kept& kept, const char* name, Layout layout, int up) {
    kept.keep(name, up_to(layout, up), "Two", "2026-04-02", "2026-04-16T09:00:00");
  };
  keep(one, "a.jpg", {6, 12}, 69);
  keep(one, "b.jpg", {22, 12}, 180);
  keep(other, "b.jpg", {22, 12}, 180);
  keep(other, "a.jpg", {6, 12}, 69);
  const auto next_time = [](const Kept& kept) {
    const std::string said = kept.say("lot", {"Two"}).out;
    return said.substr(said.find("Next time"),
                       said.find('\n', said.find("Next time")) - said.find("Next time"));
  };
  CHECK(next_time(one) == next_time(other));
  CHECK(next_time(one).find("seeds a cell") != std::string::npos);
  std::istringstream csv(one.say("lots", {"--csv"}).out);
  const auto rows = read_csv(csv);
  CHECK(rows.at(1).fields.at(6) == "1");  // sowings
}

TEST_CASE("on a terminal the answers of all commands keep to its width, tables for programs stay whole") {
  const LedgerBench bench;
  REQUIRE(bench.say({"import", std::string(BRAIRD_SOURCE_DIR) + "/samples/season"}).code == ExitCode::ok);
  const std::string counts = std::string(BRAIRD_SOURCE_DIR) + "/samples/hand-counts.csv";
  const auto widest = [&](const std::vector<std::string>& command) {
    std::ostringstream out, err;
    CHECK(cli::run_braird(command, {out, err, false, nullptr, 80}) == ExitCode::ok);
    std::istringstream lines(out.str());
    std::size_t most = 0;
    for (std::string line; std::getline(lines, line);) most = std::max(most, cli::columns(line));
    return most;
  };
  for (const std::vector<std::string>& command :
       {std::vector<std::string>{"lots", "--ledger", bench.ledger},
        {"lot", "Rowan 12", "--cells", "--ledger", bench.ledger},
        {"rate", counts, "--seeds", "4", "--crop", "leek"},
        {"advise", counts, "--seeds", "4", "--crop", "leek", "--day", "11", "--cells", "249"},
        {"count", kPhoto}}) {
    CAPTURE(command[0]);
    CHECK(widest(command) > 70);
    CHECK(widest(command) <= 80);
  }
  for (const char* format : {"--json", "--csv"})
    CHECK(widest({"lots", format, "--ledger", bench.ledger}) > 80);
}
