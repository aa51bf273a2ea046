// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <string>

#include "calibration/ledger/check_plan.h"
#include "cli/commands/command.h"

namespace braird::cli {

/// `braird check TRAY`, as typed.
struct CheckArguments {
  std::string tray{};  ///< a tag or a kept photo; empty: the photo kept last
  int random = ledger::kUsuallyDrawn, unsure = ledger::kUsuallyDoubtful;  ///< cells of each kind
  std::filesystem::path photo{};                                          ///< where the photo is now
  std::filesystem::path picture{};  ///< empty: check-NAME.jpg in the present folder
  std::filesystem::path counts{};   ///< CSV; empty: ask
  std::filesystem::path ledger{};
};

CLI::App* add_check(CLI::App& app, CheckArguments& arguments);

/// Asks for each cell on a terminal; else only shows what to look at.
ExitCode run_check(const CheckArguments& arguments, const Console& console);

}  // namespace braird::cli
