// SPDX-License-Identifier: Apache-2.0
#include "cli/text/progress.h"

#include <fmt/format.h>

namespace braird::cli {

std::string progress_line(std::size_t done, std::size_t total, const std::string& name) {
  constexpr std::size_t kWidth = 24;
  const std::size_t filled = kWidth * done / total;
  return fmt::format("[{:#<{}}{:-<{}}] {:{}} of {}  {}", "", filled, "", kWidth - filled, done,
                     std::to_string(total).size(), total, name);
}

}  // namespace braird::cli
