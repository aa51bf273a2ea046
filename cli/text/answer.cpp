// SPDX-License-Identifier: Apache-2.0
#include "cli/text/answer.h"

#include <fmt/format.h>

namespace braird::cli {

std::string answer(const Census& census, const Order&) {
  std::string text = census.photo.file + "\n";
  for (const Tray& tray : census.trays) {
    const TraySummary sum = summarise(tray);
    text += fmt::format("{} cells: {} gaps, {} singles, {} multiples; {} seedlings\n", sum.cells, sum.empty,
                        sum.single, sum.multiple, sum.seedlings);
  }
  return text;
}

}  // namespace braird::cli
