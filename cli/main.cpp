// SPDX-License-Identifier: Apache-2.0
#include <unistd.h>

#include <iostream>

#include "cli/app.h"
#include "cli/memory.h"

int main(int argc, char** argv) {
  braird::cli::prepare_memory();
  const braird::cli::Console console{std::cout, std::cerr, isatty(STDERR_FILENO) == 1,
                                     isatty(STDIN_FILENO) == 1 ? &std::cin : nullptr};
  const braird::cli::ExitCode code = braird::cli::run_braird({argv + 1, argv + argc}, console);
  std::cout.flush();
  return static_cast<int>(std::cout ? code : braird::cli::ExitCode::trouble);
}
