// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "cli/commands/command.h"

namespace braird::cli {

/// `braird note LOT`, as typed: what no photo tells.
struct NoteArguments {
  std::string lot{};
  std::string crop{}, variety{}, supplier{}, tested{};
  std::optional<double> stated{};
  std::string treated{};  ///< "yes", "no" or nothing
  std::string sown{}, tag{};
  std::string plate{}, topping{};
  std::optional<double> temperature{};
  std::string decided{}, on{};
  std::filesystem::path ledger{};
};

CLI::App* add_note(CLI::App& app, NoteArguments& arguments);
ExitCode run_note(const NoteArguments& arguments, const Console& console);

/// `braird undo`: takes the last run's changes of the ledger back.
struct UndoArguments {
  std::filesystem::path ledger{};
};
CLI::App* add_undo(CLI::App& app, UndoArguments& arguments);
ExitCode run_undo(const UndoArguments& arguments, const Console& console);

}  // namespace braird::cli
