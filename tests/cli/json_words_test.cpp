// SPDX-License-Identifier: Apache-2.0
// Programs read what --json prints, by the headers that describe it: is every field described there?
#include <doctest/doctest.h>

#include <fstream>
#include <regex>

#include "cli/text/course_text.h"
#include "tests/cli/hand_counted.h"
#include "tests/cli/ledger_bench.h"

using namespace braird;
using namespace braird::test;
using Json = nlohmann::ordered_json;

namespace {

std::string header(const std::string& path) {
  std::ifstream in(std::string(BRAIRD_SOURCE_DIR) + "/" + path);
  return {std::istreambuf_iterator<char>(in), {}};
}

void check_described(const Json& json, const std::string& words) {
  for (const auto& [key, value] : json.items()) {
    if (json.is_object()) {
      CAPTURE(key);
      CHECK(std::regex_search(words, std::regex("\\b" + key + "\\b")));
    }
    if (value.is_structured() && key != "economy") check_described(value, words);
  }
}

Json answer_of(std::vector<std::string> call) {
  const std::string command = call[0];
  call.erase(call.begin());
  call.push_back("--json");
  const Said said = said_by(command, call);
  CAPTURE(said.err);
  REQUIRE(said.code == cli::ExitCode::ok);
  return Json::parse(said.out);
}

}  // namespace

TEST_CASE("every field of rates is described") {
  const Bench bench;
  const std::string words = header("cli/text/rate_json.h");
  check_described(
      answer_of({"rate", bench.file("leeks.csv", leeks_but_column_5()), "--seeds", "2", "--crop", "leek"}),
      words);
  check_described(answer_of({"rate", bench.file("dishes.csv", "lot,sown,germinated\nA,100,92\nA,100,90\n")}),
                  words);
  const std::string days = bench.file("days.csv", "lot,day,germinated\nA,3,1\nA,4,12\nA,5,3\nA,7,3\n");
  check_described(answer_of({"rate", days, "--sown", "20", "--crop", "kale", "--temperature", "18"}), words);
}

TEST_CASE("every field of advice is described") {
  const Bench bench;
  check_described(
      answer_of({"advise", bench.file("leeks.csv", leek_tray()), "--seeds", "4", "--crop", "leek", "--day",
                 "9", "--temperature", "18", "--cells", "600", "--packs", "500:3,5000:22"}),
      header("cli/text/advise_json.h"));
}

TEST_CASE("every field of a lot is described") {
  const LedgerBench bench;
  bench.keep_sample();
  bench.say({"note", "Rowan 12", "--decided", "waited"});
  const std::string summary = header("calibration/ledger/summary_json.h"),
                    course = header("cli/text/course_text.h");
  check_described(answer_of({"lots", "--ledger", bench.ledger}), summary);
  check_described(answer_of({"lot", "Rowan 12", "--ledger", bench.ledger}),
                  summary + course + header("cli/text/rate_json.h"));
  ledger::TrayCourse one;
  one.layout = {1, 1, LatticeKind::square};
  one.days = {5, 7};
  one.cells = {{0, {}, {1, 1}}};
  check_described(cli::course_json(one), course);
}
