// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "calibration/census.h"
#include "cli/commands/command.h"

namespace braird::cli {

/// `braird count`, as typed.
struct CountArguments {
  std::vector<std::filesystem::path> photos{};
  std::string tray{};                  ///< "RxC" or a known name
  std::string lattice{};               ///< "square", "staggered" or nothing
  std::vector<std::string> corners{};  ///< four "x,y", photo pixels
  std::string crop{};
  std::optional<int> seeds{};  ///< a cell
  std::string of{};            ///< "seedlings", "seeds" or nothing
  std::string sown{};          ///< "YYYY-MM-DD"
  std::string taken{};         ///< likewise, for photos that do not tell
  std::string lot{};
  std::string tag{};           ///< of the tray's label, where the photo does not show it
  std::string tray_told_by{};  ///< "tag K7" or "the ledger" if that told the tray's shape; empty: the user
  bool keep = false;           ///< in the ledger
  bool as_before = false;      ///< the tagged tray was not turned since its earlier photos
  std::filesystem::path ledger{};  ///< empty: the usual one
  bool json = false;
  std::optional<std::size_t> jobs{};  ///< photos counted at once, >= 1
  bool timing = false;
  std::filesystem::path page{};             ///< a file; empty: none
  std::filesystem::path marked{}, trace{};  ///< folders; empty: none
};

/// Adds the options that tell of the trays: shape, crop, seeds, dates, lot.
void add_told(CLI::App& command, CountArguments& arguments);
CLI::App* add_count(CLI::App& app, CountArguments& arguments);
ExitCode run_count(const CountArguments& arguments, const Console& console);

}  // namespace braird::cli
