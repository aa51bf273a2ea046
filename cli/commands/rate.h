// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "cli/commands/command.h"
#include "cli/told_counts.h"

namespace braird::cli {

/// `braird rate`, as typed.
struct RateArguments : ToldCounts {
  bool json = false;
};

CLI::App* add_rate(CLI::App& app, RateArguments& arguments);

/// Reads all files, or throws what is wrong with them and prints nothing.
ExitCode run_rate(const RateArguments& arguments, const Console& console);

}  // namespace braird::cli
