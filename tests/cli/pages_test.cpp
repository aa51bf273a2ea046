// SPDX-License-Identifier: Apache-2.0
// The man page and the completions against what --help-all says, and in the shells and man themselves where
// they are.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <cstdlib>
#include <sstream>

#include "cli/app.h"
#include "cli/pages/completions.h"
#include "cli/pages/man_page.h"
#include "tests/vision/photo_files.h"

using namespace braird::cli;
using braird::test::ScratchFolder;

namespace {

std::vector<CommandFacts> commands() {
  CLI::App app;
  add_commands(app);
  return facts_of(app);
}

/// The options that `braird NAME --help-all` lists.
std::vector<std::string> options_in_help(const std::string& name) {
  std::ostringstream out, err;
  run_braird({name, "--help-all"}, Console{out, err});
  std::vector<std::string> options;
  std::istringstream in(out.str());
  for (std::string line; std::getline(in, line);)
    if (line.starts_with("  --")) options.push_back(line.substr(2, line.find_first_of(" .", 2) - 2));
  return options;
}

std::string between(const std::string& text, const std::string& from, const std::string& to) {
  const auto begin = text.find(from);
  REQUIRE(begin != std::string::npos);
  return text.substr(begin, text.find(to, begin + from.size()) - begin);
}

bool has_tool(const char* name) {
  return std::system(fmt::format("command -v {} >/dev/null", name).c_str()) == 0;
}

/// Runs `command` on a file holding `text`; whether it succeeded.
bool passes(const std::string& command, const std::string& text) {
  const ScratchFolder folder;
  const std::string file = folder.write("page", text).string();
  return std::system(fmt::format(fmt::runtime(command), file).c_str()) == 0;
}

}  // namespace

TEST_CASE("the man page tells of every command the options that its help tells of, and no others") {
  std::string page = man_page(commands(), "1.2");
  CHECK(page.starts_with(".TH BRAIRD 1 \"\" \"braird 1.2\""));
  for (auto at = page.find("\\-"); at != std::string::npos; at = page.find("\\-", at)) page.erase(at, 1);
  for (const CommandFacts& command : commands()) {
    CAPTURE(command.name);
    const std::string section = between(page, fmt::format("\n.SS {}\n", command.name), "\n.S");
    const auto options = options_in_help(command.name);
    CHECK(options.size() == command.options.size());
    for (const std::string& option : options) {
      CAPTURE(option);
      CHECK(section.find(fmt::format("\\fB{}\\fR", option)) != std::string::npos);
    }
  }
}

TEST_CASE("the completions know the same options") {
  const std::string bash = bash_completion(commands()), zsh = zsh_completion(commands()),
                    fish = fish_completion(commands());
  for (const CommandFacts& command : commands())
    for (const std::string& option : options_in_help(command.name)) {
      CAPTURE(option);
      const std::string in_bash = between(bash, fmt::format("    {}) words=", command.name), "\n");
      CHECK(in_bash.find(option) != std::string::npos);
      const std::string in_zsh = between(zsh, fmt::format("    {}) _arguments", command.name), ";;");
      CHECK(in_zsh.find(option + "[") != std::string::npos);
      const auto in_fish =
          fmt::format("__fish_seen_subcommand_from {}' -l {} ", command.name, option.substr(2));
      CHECK(fish.find(in_fish) != std::string::npos);
    }
}

TEST_CASE("man reads its page without a complaint") {
  if (!has_tool("groff")) {
    MESSAGE("skipped: there is no groff");
    return;
  }
  CHECK(passes("test -z \"$(groff -man -Tutf8 -ww -z {} 2>&1)\"", man_page(commands(), "1.2")));
}

TEST_CASE("bash completes a command, an option and a tray") {
  const auto completes = [](const char* typed, const char* wanted) {
    return passes(
        fmt::format("bash -c '. {{}}; COMP_WORDS=({}); COMP_CWORD=$((${{{{#COMP_WORDS[@]}}}} - 1)); _braird; "
                    "[ \"${{{{COMPREPLY[*]}}}}\" = \"{}\" ]'",
                    typed, wanted),
        bash_completion(commands()));
  };
  CHECK(completes("braird adv", "advise"));
  CHECK(completes("braird count --mark", "--marked"));
  CHECK(completes("braird count --tray plug-12", "plug-128"));
  CHECK(completes("braird count --lattice st", "staggered"));
  CHECK(completes("braird count pho", ""));  // a file: bash's own
  CHECK_FALSE(completes("braird adv", "count"));
}

TEST_CASE("zsh and fish read their completions") {
  if (has_tool("zsh"))
    CHECK(passes("zsh -n {}", zsh_completion(commands())));
  else
    MESSAGE("skipped: there is no zsh");
  if (has_tool("fish"))
    CHECK(passes("fish -n {}", fish_completion(commands())));
  else
    MESSAGE("skipped: there is no fish");
}
