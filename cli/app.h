// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "cli/commands/command.h"
#include "cli/console.h"

namespace braird::cli {

/// Adds all commands to `app`, which must outlive them.
std::vector<Command> add_commands(CLI::App& app);

/// Runs the program on its arguments (without its own name).
ExitCode run_braird(const std::vector<std::string>& arguments, const Console& console);

}  // namespace braird::cli
