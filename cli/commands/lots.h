// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <string>

#include "cli/commands/command.h"
#include "cli/lot_filter.h"

namespace braird::cli {

/// `braird lots` and `braird lot LOT`, as typed.
struct LotsArguments {
  std::string lot{};  ///< of `lot`
  FilterArguments filter{};
  std::filesystem::path ledger{};
  bool json = false, csv = false;
  bool cells = false;  ///< of `lot`
};

/// What `braird lots` asks for.
CLI::App* add_lots(CLI::App& app, LotsArguments& arguments);
ExitCode run_lots(const LotsArguments& arguments, const Console& console);

/// One lot's history.
CLI::App* add_lot(CLI::App& app, LotsArguments& arguments);
ExitCode run_lot(const LotsArguments& arguments, const Console& console);

}  // namespace braird::cli
