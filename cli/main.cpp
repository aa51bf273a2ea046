// SPDX-License-Identifier: Apache-2.0
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <iostream>

#include "cli/app.h"
#include "cli/memory.h"

namespace {

/// 0 if it is no terminal, or one that doesn't tell.
std::size_t columns_of_output() {
  constexpr std::size_t fewest = 40;
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) return 0;
  return std::max<std::size_t>(size.ws_col, fewest);
}

}  // namespace

int main(int argc, char** argv) {
  braird::cli::prepare_memory();
  const braird::cli::Console console{std::cout, std::cerr, isatty(STDERR_FILENO) == 1,
                                     isatty(STDIN_FILENO) == 1 ? &std::cin : nullptr, columns_of_output()};
  const braird::cli::ExitCode code = braird::cli::run_braird({argv + 1, argv + argc}, console);
  std::cout.flush();
  if (std::cout) return static_cast<int>(code);
  std::cerr << "braird: the answer cannot be written where it should go; make room there and try again\n";
  return static_cast<int>(braird::cli::ExitCode::trouble);
}
