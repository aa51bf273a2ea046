// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "cli/commands/command.h"

namespace braird::cli {

/// `braird label`, as typed.
struct LabelArguments {
  std::string lot{}, crop{}, sown{}, tray{}, lattice{};
  std::optional<int> seeds{};
  int many = 1;
  std::filesystem::path out{};
  std::filesystem::path ledger{};
};

CLI::App* add_label(CLI::App& app, LabelArguments& arguments);
ExitCode run_label(const LabelArguments& arguments, const Console& console);

}  // namespace braird::cli
