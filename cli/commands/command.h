// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>

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

}  // namespace braird::cli
