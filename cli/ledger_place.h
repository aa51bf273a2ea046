// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>

#include "calibration/ledger/ledger.h"

namespace CLI {
class App;
}

namespace braird::cli {

/// Where the ledger is: as told; else BRAIRD_LEDGER; else braird/ledger.sqlite in the user's data folder
/// (XDG Base Directory Specification 0.8: $XDG_DATA_HOME if it is an absolute path, else ~/.local/share).
/// Throws std::runtime_error with one sentence if there is no home to look in.
std::filesystem::path ledger_place(const std::filesystem::path& told);

/// Opens the ledger, told likewise, to change what stands there; one that is missing is read as empty, since a
/// command that only changes would leave a stray file at a misspelt place. Throws like Ledger.
ledger::Ledger standing_ledger(const std::filesystem::path& told);

/// Adds --ledger to a command.
void add_ledger_option(CLI::App& command, std::filesystem::path& ledger);

}  // namespace braird::cli
