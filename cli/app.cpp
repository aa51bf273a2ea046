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
  return {count_command(app), rate_command(app),   advise_command(app), lots_command(app),
          lot_command(app),   note_command(app),   undo_command(app),   label_command(app),
          check_command(app), export_command(app), import_command(app), report_command(app),
          watch_command(app), doctor_command(app)};
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
