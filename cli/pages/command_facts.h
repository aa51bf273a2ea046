// SPDX-License-Identifier: Apache-2.0
// What the man page and the completions tell of the commands, read off the same CLI::App that reads
// arguments.
#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace braird::cli {

struct OptionFacts {
  std::string name;      ///< "--seeds"; without dashes, what stands in an argument's place ("PHOTO")
  std::string value;     ///< "N", "TEXT"; empty for a flag or an argument
  std::string words;     ///< what it tells
  bool several = false;  ///< takes more than one value
  bool required = false;
  std::vector<std::string> values;  ///< that are known; empty if any is right
};

struct CommandFacts {
  std::string name, words, example;
  std::vector<OptionFacts> arguments, options;
};

OptionFacts facts_of(const CLI::Option& option);

/// Every command of `app`, in its order; --help and --help-all are left out.
std::vector<CommandFacts> facts_of(const CLI::App& app);

}  // namespace braird::cli
