// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/doctor.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>

#include "cli/ledger_place.h"
#include "cli/machine_check.h"
#include "cli/text/help.h"
#include "cli/text/wrapped.h"

namespace braird::cli {

CLI::App* add_doctor(CLI::App& app, DoctorArguments& arguments) {
  CLI::App* doctor = app.add_subcommand("doctor", "Say whether this computer has what braird needs");
  add_ledger_option(*doctor, arguments.ledger);
  set_help(*doctor, {"--ledger"}, "braird doctor");
  return doctor;
}

ExitCode run_doctor(const DoctorArguments& arguments, const Console& console) {
  const auto found = conditions(arguments.ledger);
  for (const Condition& one : found)
    console.out << hanging(fmt::format("{} {:<10}", one.good ? " " : "!", one.what), one.words, kHelpWidth,
                           12);
  const bool all_good = std::ranges::all_of(found, &Condition::good);
  console.out << (all_good ? "\nNothing is missing.\n" : "\nLines with ! want your attention.\n");
  return all_good ? ExitCode::ok : ExitCode::not_all_done;
}

}  // namespace braird::cli
