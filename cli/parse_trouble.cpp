// SPDX-License-Identifier: Apache-2.0
#include "cli/parse_trouble.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <filesystem>
#include <optional>
#include <sstream>
#include <stdexcept>

#include "cli/nearest.h"
#include "cli/typed_words.h"

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

/// Words that no option takes: mostly the rest of a name that lacks its quotes.
std::string left_over(const std::vector<std::string>& rest, const std::vector<std::string>& typed) {
  const auto at = std::search(typed.begin(), typed.end(), rest.begin(), rest.end());
  const std::string words = fmt::format("{}", fmt::join(rest, " "));
  std::string names = fmt::format("{} {} left over", words, rest.size() == 1 ? "is" : "are");
  if (at == typed.end() || at <= typed.begin() + 1 || (at - 1)->starts_with('-')) return names;
  const std::string remedy = names + "; put a name of several words in quotes";
  const bool second = at == typed.begin() + 2 || (at - 2)->starts_with('-');
  return second ? fmt::format("{}: \"{} {}\"", remedy, *(at - 1), words) : remedy;
}

/// CLI11 writes numbers with six decimals.
std::string short_number(const std::string& text) {
  const auto number = number_of(text);
  return number ? fmt::format("{:g}", *number) : text;
}

/// "Value 0 not in range 1 to 256"
std::string out_of_range(const std::string& name, const std::string& words) {
  std::istringstream in(words);
  std::string value, word, low, high;
  in >> word >> value >> word >> word >> word >> low >> word >> high;
  return fmt::format("{} {}: must be from {} to {}", name, value, short_number(low), short_number(high));
}

/// Many countries write 18,5.
std::string no_number(const std::string& name, const std::string& value, bool whole) {
  std::string pointed = value;
  std::ranges::replace(pointed, ',', '.');
  const bool comma = !whole && pointed != value && number_of(pointed);
  return fmt::format("{} {}: must be a {}number{}", name, value, whole ? "whole " : "",
                     comma ? " with a decimal point, as in " + pointed : "");
}

/// CLI11's clauses for options that were given too few words, none, no number or one out of range.
std::string in_our_words(const CLI::App& command, const CLI::ParseError& why) {
  std::string words = why.what();
  for (const CLI::Option* option : command.get_options()) {
    const std::string name = option->get_name(!option->nonpositional());
    const int least = option->get_items_expected_min();
    if (words == name + " is required")
      return fmt::format("{} is missing ({})", name, option->get_description());
    if (words.starts_with(name + ": Value ")) return out_of_range(name, words.substr(name.size() + 2));
    if (words.starts_with(name + " excludes "))
      return fmt::format("{} and {} can't go together", name, words.substr(name.size() + 10));
    if (words.starts_with(name + ": 1 required ")) return name + " needs a value";
    if (words.starts_with(fmt::format("{}: At least {} required", name, least)))
      return fmt::format("{} needs {} values", name, least);
    if (words.starts_with(name + ": At Most 1 required ")) return name + " is told more than once";
    const std::string not_read = fmt::format("Could not convert: {} = ", name);
    if (words.starts_with(not_read))
      return no_number(name, words.substr(not_read.size()),
                       option->get_type_name().find("INT") != std::string::npos);
  }
  return words;
}

/// "Rowan", where these words say --lot Rowan.
std::optional<std::string> lot_told_by(const std::vector<std::string>& typed, std::size_t last) {
  constexpr std::string_view kOption = "--lot";
  if (typed[last].starts_with(std::string(kOption) + "=")) return typed[last].substr(kOption.size() + 1);
  return typed[last - 1] == kOption ? std::optional(typed[last]) : std::nullopt;
}

}  // namespace

void refuse_misread(const std::vector<std::string>& typed) {
  const bool takes_files = std::ranges::count(
      std::initializer_list<std::string_view>{"count", "rate", "advise", "watch"}, typed[0]);
  for (std::size_t at = 1; at < typed.size(); ++at) {
    if (typed[at].starts_with("--") && typed[at].ends_with('='))
      throw std::invalid_argument(fmt::format("{} needs a value", typed[at].substr(0, typed[at].size() - 1)));
    const auto lot = lot_told_by(typed, at);
    if (!takes_files || !lot || at + 1 == typed.size() || typed[at + 1].starts_with('-')) continue;
    std::error_code unused;
    if (!std::filesystem::exists(typed[at + 1], unused))
      throw std::invalid_argument(
          fmt::format("{}: no such file; put a name of several words in quotes: --lot \"{} {}\"",
                      typed[at + 1], *lot, typed[at + 1]));
  }
}

std::string parse_trouble(const CLI::App& app, const CLI::ParseError& why,
                          const std::vector<std::string>& typed) {
  const auto chosen = app.get_subcommands();
  if (chosen.empty()) return without_command(app);
  const CLI::App& command = *chosen.front();
  const std::string read_on = fmt::format("braird {} --help explains the options", command.get_name());
  if (const std::string word = unknown_option(command); !word.empty())
    return fmt::format("{} is no option of braird {}{} {}", word, command.get_name(),
                       perhaps(word, names_of_options(command)), read_on);
  const std::vector<std::string> rest = command.remaining();
  std::string words = rest.empty() ? in_our_words(command, why) : left_over(rest, typed);
  std::replace(words.begin(), words.end(), '\n', ' ');
  return words + "; " + read_on;
}

}  // namespace braird::cli
