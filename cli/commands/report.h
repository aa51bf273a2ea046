// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <string>

#include "cli/commands/command.h"
#include "cli/lot_filter.h"

namespace braird::cli {

/// `braird report`, as typed.
struct ReportArguments {
  std::string tray{};         ///< a tag or a kept photo
  std::string lot{}, sown{};  ///< a lot, or one sowing of it
  FilterArguments filter{};   ///< which lots and sowings of the season
  std::filesystem::path out = "braird-report.html";
  std::filesystem::path pictures{};  ///< a folder; empty: none
  std::filesystem::path photos{};    ///< where photos that were moved lie
  bool without_photos = false;
  std::filesystem::path ledger{};
};

CLI::App* add_report(CLI::App& app, ReportArguments& arguments);
ExitCode run_report(const ReportArguments& arguments, const Console& console);

}  // namespace braird::cli
