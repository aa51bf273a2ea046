// SPDX-License-Identifier: Apache-2.0
#include "cli/pages/command_facts.h"

#include <CLI/App.hpp>

#include "calibration/profiles.h"

namespace braird::cli {
namespace {

template <class Entries>
std::vector<std::string> one_word_names(const Entries& entries) {
  std::vector<std::string> names;
  for (const auto& entry : entries)
    if (entry.name.find(' ') == std::string::npos) names.push_back(entry.name);
  return names;
}

std::vector<std::string> known_values(const std::string& option) {
  if (option == "--tray") return one_word_names(built_in_profiles().trays);
  if (option == "--crop") return one_word_names(built_in_profiles().crops);
  if (option == "--lattice") return {"square", "staggered"};
  if (option == "--of") return {"seedlings", "seeds"};
  if (option == "--treated") return {"yes", "no"};
  return {};
}

}  // namespace

OptionFacts facts_of(const CLI::Option& option) {
  OptionFacts facts;
  const bool named = option.nonpositional();
  facts.name = option.get_name(!named);
  facts.words = option.get_description();
  facts.several = option.get_items_expected_max() > 1;
  facts.required = option.get_required();
  if (!named || option.get_type_size() == 0) return facts;
  const std::string type = option.get_type_name();
  const bool number = type.starts_with("INT") || type.starts_with("UINT") || type.starts_with("FLOAT");
  facts.value = number ? "N" : type;
  facts.values = known_values(facts.name);
  return facts;
}

std::vector<CommandFacts> facts_of(const CLI::App& app) {
  std::vector<CommandFacts> all;
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    CommandFacts facts{command->get_name(), command->get_description(), command->get_footer(), {}, {}};
    for (const CLI::Option* option : command->get_options())
      if (option != command->get_help_ptr() && option != command->get_help_all_ptr())
        (option->nonpositional() ? facts.options : facts.arguments).push_back(facts_of(*option));
    all.push_back(std::move(facts));
  }
  return all;
}

}  // namespace braird::cli
