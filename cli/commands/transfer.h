// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <vector>

#include "cli/commands/command.h"

namespace braird::cli {

/// `braird export FOLDER` and `braird import FOLDER…`, as typed.
struct TransferArguments {
  std::filesystem::path folder{};
  std::vector<std::filesystem::path> files{};  ///< of `import`: folders, or tables called NAME.csv
  std::filesystem::path ledger{};
};

CLI::App* add_export(CLI::App& app, TransferArguments& arguments);
ExitCode run_export(const TransferArguments& arguments, const Console& console);

CLI::App* add_import(CLI::App& app, TransferArguments& arguments);
ExitCode run_import(const TransferArguments& arguments, const Console& console);

}  // namespace braird::cli
