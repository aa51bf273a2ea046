// SPDX-License-Identifier: Apache-2.0
#include "cli/text/help.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <memory>
#include <vector>

#include "cli/pages/command_facts.h"
#include "cli/text/wrapped.h"

namespace braird::cli {
namespace {

constexpr std::size_t kOptionWidth = 18;
constexpr const char* kNamedOnly = "Named only";  // the group of options that --help does not explain

bool is_own_help(const CLI::App& app, const CLI::Option& option) {
  return &option == app.get_help_ptr() || &option == app.get_help_all_ptr();
}

/// "--seeds N", "PHOTO..."
std::string label_of(const CLI::Option& option) {
  const OptionFacts facts = facts_of(option);
  return facts.name + (facts.value.empty() ? "" : " " + facts.value) + (facts.several ? "..." : "");
}

std::string entry(const std::string& label, const std::string& words) {
  return hanging(fmt::format("  {:<{}} ", label, kOptionWidth), words, kHelpWidth, kOptionWidth + 3);
}

std::string usage(const CLI::App& command) {
  std::string line = "  braird " + command.get_name();
  for (const CLI::Option* option : command.get_options())
    if (!option->nonpositional())
      line += option->get_required() ? " " + label_of(*option) : " [" + label_of(*option) + "]";
    else if (option->get_required())
      line += " " + label_of(*option);
  return line + " [OPTIONS]\n";
}

/// What --help says of one command; with `all`, each option is explained.
std::string command_help(const CLI::App& command, bool all) {
  std::string text = hanging("", command.get_description(), kHelpWidth, 0) + "\n" + usage(command) + "\n";
  std::vector<std::string> named;
  for (const CLI::Option* option : command.get_options()) {
    if (is_own_help(command, *option)) continue;
    if (!all && option->get_group() == kNamedOnly)
      named.push_back(option->get_name());
    else
      text += entry(label_of(*option), option->get_description());
  }
  if (!named.empty())
    text +=
        hanging("  More, explained by --help-all: ", fmt::format("{}", fmt::join(named, " ")), kHelpWidth, 4);
  if (!command.get_footer().empty()) text += "\n  $ " + command.get_footer() + "\n";
  return text;
}

std::string program_help(const CLI::App& app) {
  std::string text = hanging("", app.get_description(), kHelpWidth, 0) + "\n  braird COMMAND [OPTIONS]\n\n";
  const auto commands = app.get_subcommands([](const CLI::App*) { return true; });
  for (const CLI::App* command : commands) text += entry(command->get_name(), command->get_description());
  return text + "\n" + entry("--version", "The program's version") +
         entry("COMMAND --help", "A command's options, with an example") +
         entry("COMMAND --help-all", "All of them");
}

class OurHelp : public CLI::Formatter {
 public:
  std::string make_help(const CLI::App* app, std::string, CLI::AppFormatMode mode) const override {
    return app->get_parent() ? command_help(*app, mode == CLI::AppFormatMode::All) : program_help(*app);
  }
};

}  // namespace

void set_help(CLI::App& command, std::initializer_list<const char*> everyday, std::string example) {
  for (CLI::Option* option : command.get_options())
    if (option->nonpositional() && !is_own_help(command, *option)) option->group(kNamedOnly);
  for (const char* name : everyday) command.get_option(name)->group("Options");
  command.footer(std::move(example));
}

void use_our_help(CLI::App& app) {
  app.formatter(std::make_shared<OurHelp>());
  app.set_help_all_flag("--help-all", "Explain all options");
}

std::string first_steps() {
  return "braird counts the seedlings in photos of sowing trays and says what to do.\n"
         "\n"
         "First take a photo of a tray from straight above, its whole rim in the picture,\n"
         "about a week after sowing. Then let braird count it:\n"
         "\n"
         "  braird count PHOTO\n"
         "\n"
         "The more you tell, the more it can say; for one seed a cell, for example:\n"
         "\n"
         "  braird count --crop kale --seeds 1 --sown 2026-04-02 PHOTO\n"
         "\n"
         "  braird --help          all commands\n"
         "  braird count --help    the options of count, with an example\n"
         "  braird doctor          whether anything is missing on this computer\n";
}

}  // namespace braird::cli
