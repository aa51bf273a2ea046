// SPDX-License-Identifier: Apache-2.0
// The ledger's commands from command line to printed line, on a sample photo with a label drawn into it.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgproc.hpp>
#include <regex>
#include <sstream>

#include "calibration/csv.h"
#include "cli/app.h"
#include "cli/check_counts.h"
#include "cli/ledger_place.h"
#include "cli/text/csv_text.h"
#include "cli/text/label_sheet.h"
#include "cli/tray_labels.h"
#include "tests/cli/ledger_bench.h"
#include "tests/vision/drawn_labels.h"
#include "tests/vision/photo_files.h"
#include "vision/codecs/codec.h"
#include "vision/labels.h"
#include "vision/photo.h"

using namespace braird;
using namespace braird::test;
using cli::ExitCode;
using Json = nlohmann::ordered_json;

namespace {

/// The sample photo with a label on the bench, beside its lower right corner.
std::string labelled_photo(const LedgerBench& bench, const TrayLabel& label) {
  std::mt19937 random(3);
  const cv::Mat photo = vision::load_photo(kPhoto).bgr;
  const Json truth = Json::parse(
      std::ifstream(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/plug-128-brassica.truth.json"));
  const auto& last = truth["cells"].back()["centre_px"];
  LabelPose pose;
  pose.module_px = 3.5;
  pose.centre = {last[0].get<double>() - 200, std::min(photo.rows - 80.0, last[1].get<double>() + 190)};
  pose.turn_deg = 7;
  return bench.write("labelled.jpg",
                     vision::encode_jpeg(with_label(photo, label_text(label), pose, random), 95));
}

}  // namespace

TEST_CASE("a kept count is remembered, corrected when kept again, and taken back") {
  const LedgerBench bench;
  CHECK(bench.say({"lots"}).out.find("holds no lot yet") != std::string::npos);
  const Said kept = bench.keep_sample();
  CHECK(kept.code == ExitCode::ok);
  CHECK(kept.err == "braird: " + kPhoto + ": kept in lot Rowan 12\n");
  CHECK(bench.keep_sample().err == "braird: " + kPhoto + ": corrected in lot Rowan 12\n");
  const Json lot = Json::parse(bench.say({"lots", "--json"}).out);
  CHECK(lot["lot"] == "Rowan 12");
  CHECK(lot["trays"] == 1);
  CHECK(lot["sowings"][0]["sown_on"] == "2026-04-02");
  const Json counted = Json::parse(
      said_on({"count", "--json", "--tray", "plug-128", "--crop", "kale", "--seeds", "1", kPhoto}).out);
  CHECK(lot["empty"] == counted["trays"][0]["summary"]["empty"]);
  // The rates are those that `rate` works out from the census itself.
  const std::string census = bench.write("c.jsonl", counted.dump());
  const Json rates = Json::parse(said_on({"rate", "--json", "--lot", "Rowan 12", census}).out)["lots"][0];
  for (const char* end : {"estimate", "low", "high"}) {
    CHECK(lot["germination"][end].get<double>() ==
          doctest::Approx(rates["germination_rate"][end].get<double>()).epsilon(1e-9));
    CHECK(lot["gaps"][end].get<double>() ==
          doctest::Approx(rates["gap_rate"][end].get<double>()).epsilon(1e-9));
  }
  CHECK(bench.say({"undo"}).out == "taken back: kept " + kPhoto + ", which had changed nothing\n");
  CHECK(bench.say({"undo"}).out == "taken back: kept " + kPhoto + "\n");
  CHECK(bench.say({"undo"}).out.starts_with("there is nothing to take back; the last five changes can be"));
  CHECK(bench.say({"lots"}).out.find("holds no lot yet") != std::string::npos);
}

TEST_CASE("a label in the photo makes every option unnecessary and says where the first cell is") {
  const LedgerBench bench;
  const std::string photo = labelled_photo(bench, {"K7", "Rowan 12", "kale", "2026-04-02", 1, "plug-128"});
  const Said said = bench.say({"count", "--json", "--keep", photo});
  CAPTURE(said.err);
  REQUIRE(said.code == ExitCode::ok);
  const Json tray = Json::parse(said.out)["trays"][0];
  CHECK(tray["label"]["tag"] == "K7");
  CHECK(tray["crop"] == "kale");
  CHECK(tray["seeds_per_cell"] == 1);
  CHECK(tray["rows"] == 8);
  CHECK(said.err.find("kept in lot Rowan 12, tray K7") != std::string::npos);
  // The label stands at the lower right.
  CHECK(tray["cells"][0]["x"] > tray["cells"][127]["x"]);
  CHECK(tray["cells"][0]["y"] > tray["cells"][127]["y"]);
  CHECK(said_on({"count", photo}).out.find("kale, tray K7, lot Rowan 12, 1 seed a cell") !=
        std::string::npos);
}

TEST_CASE("where a label says something else than was told, it is said which was followed") {
  const LedgerBench bench;
  const auto remarks = [&](const TrayLabel& label, std::vector<std::string> told) {
    told.insert(told.begin(), {"count", "--json", labelled_photo(bench, label)});
    return Json::parse(said_on(told).out)["remarks"].dump();
  };
  const TrayLabel label{"K7", "Rowan 12", "onion", "2026-04-02", 4, "plug-128"};
  CHECK(
      remarks(label, {"--crop", "kale", "--seeds", "1", "--lot", "Heron 2", "--sown", "2026-04-01"})
          .find(
              "label K7 was followed, not what was told: onion, not kale; 4 a cell, not 1; lot Rowan 12, not "
              "Heron 2; sown 2026-04-02, not 2026-04-01") != std::string::npos);
  CHECK(remarks(label, {"--crop", "onion", "--seeds", "4", "--tray", "plug-128"}).find("label K7") ==
        std::string::npos);
  CHECK(remarks({"K7", {}, {}, {}, {}, "plug-72"}, {"--crop", "kale", "--tray", "plug-128"})
            .find("label K7 says plug-72, but its tray has 8 x 16 cells, as was told") != std::string::npos);
}

TEST_CASE("a tray's own label tells its age, whatever lies beside it") {
  const LedgerBench bench;
  cv::Mat both, half;
  cv::hconcat(
      vision::load_photo(kPhoto).bgr,
      vision::load_photo(std::string(BRAIRD_SOURCE_DIR) + "/samples/photos/paper-chain-264-brassica.jpg").bgr,
      both);
  cv::resize(both, half, {}, 0.5, 0.5, cv::INTER_AREA);
  std::mt19937 random(3);
  LabelPose pose;
  pose.module_px = 3.5;
  pose.centre = {80, 90};
  const std::string text = label_text({"K7", "Rowan 12", "kale", "2026-04-02", 1, "plug-128"}),
                    path = bench.write("both.jpg",
                                       vision::encode_jpeg(with_label(half, text, pose, random), 95));
  const Json census = Json::parse(said_on({"count", "--json", path}).out);
  CHECK(census["trays"].size() == 2);
  CHECK(census["remarks"].dump().find("does not tell when it was taken") != std::string::npos);
}

TEST_CASE("hand counts are asked for, or read from a table, and correct the rates") {
  const LedgerBench bench;
  bench.keep_sample();
  const std::string picture = bench.path("look.jpg");
  const Said shown = bench.say({"check", "--picture", picture});
  CHECK(shown.code == ExitCode::ok);
  CHECK(std::count(shown.out.begin(), shown.out.end(), '\n') == 22);
  CHECK(vision::load_photo(picture).bgr.cols > 1000);
  std::istringstream answers("1\nmany\n1\n\n" + std::string("1\n1\n1\n1\n1\n1\n1\n1\n1\n1\n1\n1\n1\n1\nq\n"));
  const Said asked = bench.say({"check", "--picture", picture}, &answers);
  CHECK(asked.out.find("a whole number from 0 to 1000, please") != std::string::npos);
  CHECK(asked.out.find("16 hand counts noted") != std::string::npos);
  std::istringstream one("1\nq\n");
  CHECK(bench.say({"check", "--picture", picture}, &one).out.find("1 hand count noted\n") !=
        std::string::npos);
  CHECK(asked.out.find("are now corrected by the counter's error in") != std::string::npos);
  CHECK(bench.say({"lots"}).out.find("corrected by the counter's error") != std::string::npos);
  const std::string table =
      bench.write("t.csv", "tray,row,col,count\nplug-128-brassica.jpg,1,1,1\nplug-128-brassica.jpg,8,16,0\n");
  CHECK(bench.say({"check", "--counts", table})
            .out.starts_with("plug-128-brassica.jpg: 2 hand counts noted\n"));
  const Said refused = bench.say({"check", "--counts", bench.write("b.csv", "row,col,count\n9,1,1\n")});
  CHECK(refused.code == ExitCode::usage);
  CHECK(refused.err.find("row 9, column 1 lies outside") != std::string::npos);
  // as the tables that `rate` reads: headings in any case, each faulty row named
  const std::string upper = bench.write("u.csv", "Row,Col,Count\n1,1,2\n");
  CHECK(
      bench.say({"check", "--counts", upper}).out.starts_with("plug-128-brassica.jpg: 1 hand count noted\n"));
  CHECK(bench.say({"check", "--random", "0", "--unsure", "0"}).err ==
        "braird: --random 0 and --unsure 0 ask for no cell; say how many to count\n");
  CHECK(bench.say({"undo"}).out.starts_with("taken back: noted 1 hand count of "));
  const std::string two = bench.write("two.csv", "row,col,count\n0,1,1\n1,1,1\n1,2,x\n");
  const std::string faults = bench.say({"check", "--counts", two}).err;
  CHECK(faults.find("line 2: row is \"0\", but must be a whole number from 1 to 1000") != std::string::npos);
  CHECK(faults.find("line 4: count is \"x\", but must be a whole number from 0 to 1000") !=
        std::string::npos);
}

TEST_CASE("a sheet's codes are read back, and its text is escaped") {
  const LedgerBench bench;
  const Said said = bench.say({"label", "--lot", "R&D <12>", "--crop", "kale", "--sown", "2026-04-02",
                               "--seeds", "1", "--tray", "22x12", "--lattice-none"});
  CHECK(said.code == ExitCode::usage);
  const std::string sheet = bench.path("sheet.svg");
  const Said made = bench.say({"label", "--lot", "R&D <12>", "--crop", "kale", "--tray", "paper-chain-264",
                               "--many", "22", "--out", sheet});
  CHECK(made.out == sheet + ": trays A1 to A21\n" + bench.path("sheet-2.svg") + ": tray A22\n");
  std::ifstream in(sheet);
  const std::string svg{std::istreambuf_iterator<char>(in), {}};
  CHECK(svg.find("R&amp;D &lt;12&gt;") != std::string::npos);
  CHECK(svg.find("<12>") == std::string::npos);
  // Draw the first code's runs of modules and read them.
  std::smatch path;
  REQUIRE(std::regex_search(svg, path, std::regex("d=\"([^\"]*)\"")));
  cv::Mat drawn(400, 400, CV_8UC3, cv::Scalar::all(255));
  const std::string runs = path[1];
  const std::regex run_form("M([0-9]+) ([0-9]+)h([0-9]+)v1h-[0-9]+z");
  for (auto at = std::sregex_iterator(runs.begin(), runs.end(), run_form); at != std::sregex_iterator(); ++at)
    cv::rectangle(
        drawn,
        cv::Rect(40 + 6 * std::stoi((*at)[1]), 40 + 6 * std::stoi((*at)[2]), 6 * std::stoi((*at)[3]), 6),
        cv::Scalar(), cv::FILLED);
  const auto seen = vision::read_labels(drawn);
  REQUIRE(seen.size() == 1);
  CHECK(seen[0].label == TrayLabel{"A1", "R&D <12>", "kale", {}, {}, "paper-chain-264"});
}

TEST_CASE("the ledger's place: told, by the environment, or in the data folder") {
  unsetenv("BRAIRD_LEDGER");
  setenv("XDG_DATA_HOME", "/data", 1);
  CHECK(cli::ledger_place("") == "/data/braird/ledger.sqlite");
  setenv("XDG_DATA_HOME", "relative", 1);  // the standard says to leave it alone then
  setenv("HOME", "/home/grower", 1);
  CHECK(cli::ledger_place("") == "/home/grower/.local/share/braird/ledger.sqlite");
  setenv("BRAIRD_LEDGER", "/my/ledger", 1);
  CHECK(cli::ledger_place("") == "/my/ledger");
  CHECK(cli::ledger_place("told") == "told");
  unsetenv("BRAIRD_LEDGER");
}

TEST_CASE("shapes on labels, and fields that CSV must quote") {
  CHECK(cli::layout_on_label("plug-128")->cols == 16);
  CHECK(cli::layout_on_label("22x12s")->lattice == LatticeKind::staggered);
  for (const char* none : {"", "x", "8x", "8x16q", "0x4", "8 x 16", "plug-1"})
    CHECK_FALSE(cli::layout_on_label(none).has_value());
  CHECK(cli::label_words({22, 12, LatticeKind::staggered}) == "paper-chain-264");
  CHECK(cli::label_words({7, 11, LatticeKind::staggered}) == "7x11s");
  CHECK(cli::tray_words({22, 12, LatticeKind::staggered}) == "paper-chain-264");
  CHECK(cli::tray_words({7, 11, LatticeKind::staggered}) == "7x11 staggered");
  CHECK(cli::csv_line({"a", "b,c", "say \"x\"", " d", ""}) == "a,\"b,c\",\"say \"\"x\"\"\",\" d\",\n");
}
