// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace braird::test {

/// What came of running the program as its own process.
struct Ran {
  int exit_code = 0;  ///< -N if signal N ended it
  std::string out, err;
  double seconds = 0;  ///< of processor time, which a busy machine does not stretch
  long peak_mb = 0;
};

Ran run_program(const std::vector<std::string>& arguments);

}  // namespace braird::test
