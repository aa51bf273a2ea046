// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <initializer_list>
#include <string>

namespace CLI {
class App;
}

namespace braird::cli {

constexpr std::size_t kHelpWidth = 80;      ///< columns of a plain terminal
constexpr std::size_t kHelpMostLines = 23;  ///< its lines, less one for the next command

/// Gives `command` its example, and says which of its options `--help` explains; the others are only named
/// there, and explained by --help-all. Call it once all options stand. An option that is not in the command
/// throws CLI::OptionNotFound.
void set_help(CLI::App& command, std::initializer_list<const char*> everyday, std::string example);

/// Lets `app` and all commands added from now on answer --help and --help-all in our form.
void use_our_help(CLI::App& app);

/// What to do first; for whoever runs the program without arguments.
std::string first_steps();

}  // namespace braird::cli
