// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cli/commands/command.h"
#include "cli/told_counts.h"

namespace braird::cli {

/// `braird advise`, as typed.
struct AdviseArguments : ToldCounts {
  std::vector<std::filesystem::path> earlier;  ///< counts of the lot's earlier sowings
  std::filesystem::path ledger;                ///< of which the lot's trays are taken where no file is named
  // dates and warmth
  std::string counted, planting;
  std::optional<double> day;
  std::optional<double> next_temperature;
  // the bed
  std::optional<int> cells, rows, beds, every;
  std::optional<double> bed_m, spacing_cm;
  std::string tray, wanted;
  std::optional<double> assurance_percent;
  // seed and sower
  std::optional<double> germination_percent;
  std::string tested;
  std::optional<double> moisture_percent, store_temperature;
  std::optional<double> missed_percent, skips_percent, doubles_percent;
  std::vector<std::string> packs;  ///< SEEDS or SEEDS:PRICE
  bool treated = false, pelleted = false;
  // prices, times, limits
  std::filesystem::path economy;
  std::vector<std::string> settings;  ///< NAME=VALUE
  std::string currency;
  bool json = false;
};

CLI::App* add_advise(CLI::App& app, AdviseArguments& arguments);

/// Reads all files, or throws what is wrong with them and prints nothing.
ExitCode run_advise(const AdviseArguments& arguments, const Console& console);

}  // namespace braird::cli
