// SPDX-License-Identifier: Apache-2.0
#include "cli/app.h"

#include <CLI/CLI.hpp>
#include <sstream>

#include "cli/commands/advise.h"
#include "cli/commands/check.h"
#include "cli/commands/count.h"
#include "cli/commands/doctor.h"
#include "cli/commands/label.h"
#include "cli/commands/lots.h"
#include "cli/commands/note.h"
#include "cli/commands/rate.h"
#include "cli/commands/report.h"
#include "cli/commands/transfer.h"
#include "cli/commands/watch.h"
#include "cli/parse_trouble.h"
#include "cli/text/help.h"

namespace braird::cli {
namespace {

constexpr const char* kVersion = BRAIRD_VERSION;

/// A fault may have several lines, one for each row of a table.
void say(const Console& console, const std::exception& why) {
  std::istringstream lines(why.what());
  for (std::string line; std::getline(lines, line);) console.err << "braird: " << line << '\n';
}

ExitCode run_chosen(const std::vector<Command>& commands, const Console& console) {
  for (const Command& command : commands)
    if (command.app->parsed()) return command.run(console);
  return ExitCode::usage;
}

}  // namespace

std::vector<Command> add_commands(CLI::App& app) {
  use_our_help(app);
  return {command_of(app, add_count, run_count),   command_of(app, add_rate, run_rate),
          command_of(app, add_advise, run_advise), command_of(app, add_lots, run_lots),
          command_of(app, add_lot, run_lot),       command_of(app, add_note, run_note),
          command_of(app, add_undo, run_undo),     command_of(app, add_label, run_label),
          command_of(app, add_check, run_check),   command_of(app, add_export, run_export),
          command_of(app, add_import, run_import), command_of(app, add_report, run_report),
          command_of(app, add_watch, run_watch),   command_of(app, add_doctor, run_doctor)};
}

ExitCode run_braird(const std::vector<std::string>& arguments, const Console& console) {
  if (arguments.empty()) {
    console.err << first_steps();
    return ExitCode::usage;
  }
  CLI::App app("braird counts the seedlings in photos of sowing trays and says what to do about it.",
               "braird");
  app.set_version_flag("--version", kVersion);
  app.require_subcommand(1);
  const std::vector<Command> commands = add_commands(app);
  try {
    refuse_misread(arguments);
    app.parse(std::vector(arguments.rbegin(), arguments.rend()));  // CLI11 takes them last first
    return run_chosen(commands, console);
  } catch (const CLI::ParseError& words) {  // also thrown for --help and --version
    if (words.get_exit_code() == 0) return static_cast<ExitCode>(app.exit(words, console.out, console.err));
    console.err << "braird: " << parse_trouble(app, words, arguments) << '\n';
    return ExitCode::usage;
  } catch (const std::invalid_argument& why) {
    say(console, why);
    return ExitCode::usage;
  } catch (const std::exception& why) {
    say(console, why);
    return ExitCode::trouble;
  }
}

}  // namespace braird::cli
