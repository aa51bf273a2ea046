// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>

#include "cli/commands/command.h"
#include "cli/commands/count.h"

namespace braird::cli {

/// `braird watch FOLDER`, as typed.
struct WatchArguments {
  std::filesystem::path folder{};
  CountArguments count{};          ///< what is told of all photos
  std::filesystem::path report{};  ///< the season's page; empty: none
  double every = 2;                ///< seconds between two looks
  bool once = false;               ///< count what lies there, and end
};

CLI::App* add_watch(CLI::App& app, WatchArguments& arguments);

/// Until SIGINT or SIGTERM, which end it between two photos with ExitCode::ok.
ExitCode run_watch(const WatchArguments& arguments, const Console& console);

}  // namespace braird::cli
