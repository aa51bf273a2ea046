// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace braird::cli {

/// How the seed was prepared.
struct SeedKind {
  bool treated = false, pelleted = false;
};

/// What can hurt someone at this work, in one or two sentences; each once.
std::vector<std::string> cautions(const SeedKind& seed);

}  // namespace braird::cli
