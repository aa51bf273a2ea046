// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <memory>

#include "cli/console.h"

namespace CLI {
class App;
}

namespace braird::cli {

/// A command's place on the command line, and what it does once its arguments are read.
struct Command {
  CLI::App* app;
  std::function<ExitCode(const Console&)> run;
};

/// Of `add`, which puts it on the command line to read its arguments, and `run`, which takes them.
template <typename Arguments>
Command command_of(CLI::App& app, CLI::App* (*add)(CLI::App&, Arguments&),
                   ExitCode (*run)(const Arguments&, const Console&)) {
  const auto arguments = std::make_shared<Arguments>();
  return {add(app, *arguments),
          [arguments, run](const Console& console) { return run(*arguments, console); }};
}

}  // namespace braird::cli
