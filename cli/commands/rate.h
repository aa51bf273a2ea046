// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cli/commands/command.h"

namespace braird::cli {

/// `braird rate`, as typed.
struct RateArguments {
  std::vector<std::filesystem::path> files;  ///< censuses (JSON) or hand counts (CSV); "-" is standard input
  std::string sown;          ///< seeds of each lot (a number), or the sowing date "YYYY-MM-DD"
  std::optional<int> seeds;  ///< a cell
  std::string lot;           ///< name for all trays of censuses
  std::string lattice;       ///< of hand-counted trays: "square", "staggered" or nothing
  std::string crop;
  std::optional<double> temperature;  ///< of the medium, °C
  std::filesystem::path checked;      ///< hand counts of some cells of the photos; empty: none
  bool cumulative = false;            ///< daily counts are totals
  bool json = false;
};

CLI::App* add_rate(CLI::App& app, RateArguments& arguments);

/// Reads all files, or says what is wrong with them and prints nothing else.
ExitCode run_rate(const RateArguments& arguments, const Console& console);
Command rate_command(CLI::App& app);

}  // namespace braird::cli
