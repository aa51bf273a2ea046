// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <istream>
#include <ostream>

namespace braird::cli {

/// What the program tells the shell; documented in README.md.
enum class ExitCode {
  ok = 0,
  not_all_done = 1,  ///< some photo could not be counted; the others were
  usage = 2,         ///< the command line makes no sense; nothing was done
  trouble = 3,       ///< something else went wrong
};

/// Where a command writes: results to `out`, everything else to `err`.
struct Console {
  std::ostream& out;
  std::ostream& err;
  bool err_is_terminal = false;
  std::istream* in = nullptr;  ///< a person's answers; null where nobody is there to ask
  std::size_t columns = 0;  ///< of the terminal that shows `out`; 0: a file or a pipe, where lines stay whole
};

}  // namespace braird::cli
