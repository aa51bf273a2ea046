// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>

#include "cli/commands/command.h"

namespace braird::cli {

/// `braird doctor`, as typed.
struct DoctorArguments {
  std::filesystem::path ledger{};
};

CLI::App* add_doctor(CLI::App& app, DoctorArguments& arguments);

/// Says line by line whether this computer has what braird needs; ExitCode::not_all_done if something is
/// missing.
ExitCode run_doctor(const DoctorArguments& arguments, const Console& console);

}  // namespace braird::cli
