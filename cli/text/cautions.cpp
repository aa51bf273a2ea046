// SPDX-License-Identifier: Apache-2.0
#include "cli/text/cautions.h"

namespace braird::cli {

std::vector<std::string> cautions(const SeedKind& seed) {
  std::string handling = "If the seed is treated or pelleted: gloves, and never eat it or feed it.";
  if (seed.treated || seed.pelleted)
    handling =
        std::string(seed.treated ? "Treated" : "Pelleted") + " seed: gloves, and never eat it or feed it.";
  return {handling + " Dry topping and compost dust: mask, or wet it first; wash hands, clean trays.",
          "Local rules and the seed label come first."};
}

}  // namespace braird::cli
