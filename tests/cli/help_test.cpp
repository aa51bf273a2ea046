// SPDX-License-Identifier: Apache-2.0
// What the program says of itself: help, first steps, and the words for a command line that makes no sense.
#include "cli/text/help.h"

#include <doctest/doctest.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <sstream>

#include "calibration/spelling.h"
#include "cli/app.h"
#include "cli/nearest.h"
#include "cli/pages/command_facts.h"
#include "cli/text/wrapped.h"
#include "tests/cli/bench.h"

using braird::edit_distance;
using namespace braird::cli;
using namespace braird::test;

namespace {

std::vector<CommandFacts> all_commands() {
  CLI::App app;
  add_commands(app);
  return facts_of(app);
}

std::vector<std::string> split(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

void check_fits_a_screen(const std::string& text) {
  CHECK(split(text).size() <= kHelpMostLines);
  for (const std::string& line : split(text)) {
    CAPTURE(line);
    CHECK(columns(line) <= kHelpWidth);
  }
}

}  // namespace

TEST_CASE("each command's help fits a screen, has an example, and names every option") {
  for (const CommandFacts& command : all_commands()) {
    CAPTURE(command.name);
    const Said help = said_on({command.name, "--help"});
    CHECK(help.code == ExitCode::ok);
    CHECK(help.err.empty());
    check_fits_a_screen(help.out);
    CHECK(help.out.find("\n  $ braird " + command.name) != std::string::npos);
    for (const OptionFacts& option : command.options) {
      CAPTURE(option.name);
      CHECK(help.out.find(option.name) != std::string::npos);
    }
  }
}

TEST_CASE("an example uses options that the command has") {
  for (const CommandFacts& command : all_commands()) {
    std::istringstream words(command.example);
    for (std::string word; words >> word;)
      if (word.starts_with("--")) {
        CAPTURE(command.example);
        CHECK(std::ranges::count(command.options, word, &OptionFacts::name) == 1);
      }
  }
}

TEST_CASE("--help-all explains what --help only names") {
  const auto words = "Write a picture of each stage";
  CHECK(said_on({"count", "--help"}).out.find(words) == std::string::npos);
  CHECK(said_on({"count", "--help"}).out.find("--trace") != std::string::npos);
  CHECK(said_on({"count", "--help-all"}).out.find(words) != std::string::npos);
}

TEST_CASE("what takes a number says so in one way") {
  for (const CommandFacts& command : all_commands())
    for (const OptionFacts& option : command.options) {
      CAPTURE(option.name);
      CHECK(option.value.find("INT") == std::string::npos);
    }
}

TEST_CASE("help says which trays checked cells correct, with the ledger and without") {
  for (const char* command : {"rate", "advise"})
    CHECK(said_on({command, "--help-all"}).out.find("trays they lie in") != std::string::npos);
}

TEST_CASE("the program's own help lists all commands on a screen") {
  const Said help = said_on({"--help"});
  check_fits_a_screen(help.out);
  for (const CommandFacts& command : all_commands())
    CHECK(help.out.find("\n  " + command.name + " ") != std::string::npos);
}

TEST_CASE("without arguments the program says what to do first") {
  const Said said = said_on({});
  CHECK(said.code == ExitCode::usage);
  CHECK(said.out.empty());
  check_fits_a_screen(said.err);
  CHECK(said.err.find("braird count PHOTO") != std::string::npos);
}

TEST_CASE("a command line that makes no sense gets one sentence that names the culprit") {
  const struct {
    std::vector<std::string> typed;
    const char* said;
  } lines[] = {
      {{"cuont", "a.jpg"}, "cuont is no command; did you mean count? braird --help lists the commands"},
      {{"advice"}, "advice is no command; did you mean advise? braird --help lists the commands"},
      {{"weather"}, "weather is no command; braird --help lists the commands"},
      {{"--versoin"}, "--versoin is no option; did you mean --version? braird --help lists the commands"},
      {{"count", "--sedes", "3", "a.jpg"},
       "--sedes is no option of braird count; did you mean --seeds? braird count --help explains the "
       "options"},
      {{"count", "--sedes=3", "a.jpg"},
       "--sedes is no option of braird count; did you mean --seeds? braird count --help explains the "
       "options"},
      {{"label", "--lto", "Rowan 12"},
       "--lto is no option of braird label; did you mean --lot? braird label --help explains the options"},
      {{"count", "--seeds", "many", "a.jpg"},
       "--seeds many: must be a whole number; braird count --help explains the options"},
      {{"note", "Rowan 12", "--stated", "most"},
       "--stated most: must be a number; braird note --help explains the options"},
      {{"note", "R", "--stated", "92,5"},
       "--stated 92,5: must be a number with a decimal point, as in 92.5; braird note --help explains the "
       "options"},
      {{"count", "--seeds"}, "--seeds needs a value; braird count --help explains the options"},
      {{"rate", "a.csv", "--seeds", "1", "--seeds", "2"},
       "--seeds is told more than once; braird rate --help explains the options"},
      {{"lot"}, "LOT is missing (The lot, as written on the pack); braird lot --help explains the options"},
      {{"lot", "Rowan", "12"},
       "12 is left over; put a name of several words in quotes: \"Rowan 12\"; braird lot --help explains the "
       "options"},
      {{"note", "Rowan 12", "--variety", "Curly", "Fell"},
       "Fell is left over; put a name of several words in quotes: \"Curly Fell\"; braird note --help "
       "explains the "
       "options"},
      {{"watch", "--crop", "Red", "Russian", "arrivals"},
       "arrivals is left over; put a name of several words in quotes; braird watch --help explains the "
       "options"},
      {{"watch", "--lot", "Rowan", "12", "arrivals"},
       "12: no such file; put a name of several words in quotes: --lot \"Rowan 12\""},
      {{"doctor", "now"}, "now is left over; braird doctor --help explains the options"},
      {{"count", "--lot", "Rowan", "12", kPhoto},
       "12: no such file; put a name of several words in quotes: --lot \"Rowan 12\""},
      {{"count", "--keep", "--lot=Rowan", "12", kPhoto},
       "12: no such file; put a name of several words in quotes: --lot \"Rowan 12\""},
      {{"count", "--crop=", kPhoto}, "--crop needs a value"},
      {{"count", "--jobs", "0", "a.jpg"},
       "--jobs 0: must be from 1 to 256; braird count --help explains the options"},
      {{"watch", "--every", "0", "photos"},
       "--every 0: must be from 0.05 to 3600; braird watch --help explains the options"},
      {{"count", "--corners", "1,1", "2,1"},
       "--corners needs 4 values; braird count --help explains the options"},
      {{"lots", "--json", "--csv"},
       "--json and --csv can't go together; braird lots --help explains the options"},
      {{"label", "--lot", "Rowan 12"},
       "--tray is missing (The trays: ROWSxCOLUMNS, or a known name such as plug-128); braird label --help "
       "explains the options"},
  };
  for (const auto& [typed, words] : lines) {
    const Said said = said_on(typed);
    CHECK(said.err == std::string("braird: ") + words + "\n");
    CHECK(said.out.empty());
    CHECK(said.code == ExitCode::usage);
  }
}

TEST_CASE("edit distance: published values and identities") {
  // G. Navarro, "A guided tour to approximate string matching", ACM Computing Surveys 33 (2001): "survey"
  // becomes "surgery" with two operations.
  CHECK(edit_distance("survey", "surgery") == 2);
  CHECK(edit_distance("kitten", "sitting") == 3);  // the usual textbook example; from memory
  CHECK(edit_distance("CA", "ABC") ==
        3);  // where the restricted form differs from the full one (2); from memory
  CHECK(edit_distance("cuont", "count") == 1);  // one swap
  for (const char* a : {"", "a", "lots", "advise"})
    for (const char* b : {"", "lot", "advice", "export"}) {
      CHECK(edit_distance(a, b) == edit_distance(b, a));
      CHECK(edit_distance(a, a) == 0);
      CHECK(edit_distance(a, "") == std::string(a).size());
    }
}

TEST_CASE("the nearest word is one that may be meant, or none") {
  const std::vector<std::string> words = {"count", "rate", "lots", "lot", "label", "--seeds", "--sown"};
  CHECK(nearest("coutn", words) == "count");
  CHECK(nearest("lotss", words) == "lots");
  CHECK(nearest("lab", words) == "label");  // its beginning
  CHECK(nearest("--seed", words) == "--seeds");
  CHECK(nearest("ratn", words) == "rate");
  CHECK(nearest("laebl", words) == "label");
  CHECK(nearest("ract", {"rate"}) == "rate");  // two slips in four letters
  CHECK_FALSE(nearest("cot", {"rate"}));
  CHECK_FALSE(nearest("harvest", words));
  CHECK_FALSE(nearest("", {}));
}

TEST_CASE("on a terminal, long lines are broken, rather between columns, and hang under what they say") {
  CHECK(for_terminal("  Why   one two three\n\n  Note: one two three\n", 16) ==
        "  Why   one two\n        three\n\n  Note: one two\n    three\n");
  CHECK(for_terminal("  Gaps   6 %   95 % interval   of 9 cells\n", 33) ==
        "  Gaps   6 %   95 % interval\n         of 9 cells\n");
  CHECK(for_terminal("            row 1, column 4, 5\n", 25) ==
        "            row 1, column\n            4, 5\n");
  CHECK(for_terminal("below the 80 % of ρ\n", 12) == "below the\n  80 % of ρ\n");
  for (const char* whole :
       {"a/long/name/without/any/blank\n", "  set/in/and/long/without/any/blank\n", "\n", ""})
    CHECK(for_terminal(whole, 12) == whole);
  CHECK(for_terminal("  Why   one two three\n", 0) == "  Why   one two three\n");
}

TEST_CASE("words are wrapped at blanks and hang under their beginning") {
  CHECK(hanging("ab ", "one two three", 10, 3) == "ab one two\n   three\n");
  CHECK(hanging("", "ä ö ü", 3, 0) == "ä ö\nü\n");
  CHECK(hanging("a long label ", "words", 10, 4) == "a long label words\n");
  CHECK(hanging("x", "", 10, 1) == "x\n");
}
