// SPDX-License-Identifier: Apache-2.0
#include "calibration/spelling.h"

#include <algorithm>
#include <utility>
#include <vector>

namespace braird {

std::size_t edit_distance(const std::string& a, const std::string& b) {
  std::vector<std::size_t> before, above(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) above[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + (a[i - 1] != b[j - 1])});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) row[j] = std::min(row[j], before[j - 2] + 1);
    }
    before = std::exchange(above, row);
  }
  return above[b.size()];
}

std::size_t most_slips(std::size_t letters) {
  return letters < 4 ? 1 : std::max<std::size_t>(2, letters / 3);
}

}  // namespace braird
