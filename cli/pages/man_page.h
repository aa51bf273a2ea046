// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "cli/pages/command_facts.h"

namespace braird::cli {

/// braird(1) in the man macros of roff.
std::string man_page(const std::vector<CommandFacts>& commands, const std::string& version);

}  // namespace braird::cli
