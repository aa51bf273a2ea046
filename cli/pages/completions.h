// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "cli/pages/command_facts.h"

namespace braird::cli {

/// Scripts that let a shell complete commands, their options, and those values that are known; else file
/// names.
std::string bash_completion(const std::vector<CommandFacts>& commands);
std::string zsh_completion(const std::vector<CommandFacts>& commands);
std::string fish_completion(const std::vector<CommandFacts>& commands);

}  // namespace braird::cli
