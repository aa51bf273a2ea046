// SPDX-License-Identifier: Apache-2.0
#include "cli/parse_trouble.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <vector>

#include "cli/nearest.h"

namespace braird::cli {
namespace {

std::string perhaps(const std::string& word, const std::vector<std::string>& words) {
  const auto meant = nearest(word, words);
  return meant ? fmt::format("; did you mean {}?", *meant) : ";";
}

std::vector<std::string> names_of_commands(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; }))
    names.push_back(command->get_name());
  return names;
}

std::vector<std::string> names_of_options(const CLI::App& command) {
  std::vector<std::string> names;
  for (const CLI::Option* option : command.get_options())
    if (option->nonpositional()) names.push_back(option->get_name());
  return names;
}

/// The first word that looks like an option and is none.
std::string unknown_option(const CLI::App& command) {
  for (const std::string& word : command.remaining())
    if (word.size() > 1 && word[0] == '-') return word.substr(0, word.find('='));
  return "";
}

std::string without_command(const CLI::App& app) {
  const auto words = app.remaining();
  const std::string word = words.empty() ? unknown_option(app) : words.front();
  if (word.empty()) return "say what to do; braird --help lists the commands";
  const bool option = word[0] == '-';
  return fmt::format("{} is no {}{} braird --help lists the commands", word, option ? "option" : "command",
                     perhaps(word, option ? names_of_options(app) : names_of_commands(app)));
}

/// CLI11's clauses for options that were given too few words, none, or no number.
std::string in_our_words(const CLI::App& command, const CLI::ParseError& why) {
  std::string words = why.what();
  for (const CLI::Option* option : command.get_options()) {
    const std::string name = option->get_name(!option->nonpositional());
    if (words == name + " is required")
      return fmt::format("{} is missing ({})", name, option->get_description());
    if (words.starts_with(name + ": 1 required ")) return name + " needs a value";
    if (words.starts_with(name + ": At Most 1 required ")) return name + " is told more than once";
    const std::string not_read = fmt::format("Could not convert: {} = ", name);
    if (words.starts_with(not_read))
      return fmt::format("{} {}: must be a {}number", name, words.substr(not_read.size()),
                         option->get_type_name().starts_with("INT") ? "whole " : "");
  }
  return words;
}

}  // namespace

std::string parse_trouble(const CLI::App& app, const CLI::ParseError& why) {
  const auto chosen = app.get_subcommands();
  if (chosen.empty()) return without_command(app);
  const CLI::App& command = *chosen.front();
  const std::string read_on = fmt::format("braird {} --help explains the options", command.get_name());
  if (const std::string word = unknown_option(command); !word.empty())
    return fmt::format("{} is no option of braird {}{} {}", word, command.get_name(),
                       perhaps(word, names_of_options(command)), read_on);
  std::string words = in_our_words(command, why);
  std::replace(words.begin(), words.end(), '\n', ' ');
  return words + "; " + read_on;
}

}  // namespace braird::cli
