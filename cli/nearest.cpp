// SPDX-License-Identifier: Apache-2.0
#include "cli/nearest.h"

#include <algorithm>
#include <utility>

namespace braird::cli {
namespace {

/// The only one of `words` that `word` begins.
std::optional<std::string> completed(const std::string& word, const std::vector<std::string>& words) {
  const auto begun = [&](const std::string& one) { return one.starts_with(word); };
  if (word.size() < 3 || std::ranges::count_if(words, begun) != 1) return std::nullopt;
  return *std::ranges::find_if(words, begun);
}

}  // namespace

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

std::optional<std::string> nearest(const std::string& word, const std::vector<std::string>& words) {
  if (auto whole = completed(word, words)) return whole;
  std::optional<std::string> best;
  std::size_t least = std::max<std::size_t>(1, word.size() / 3) + 1;
  for (const std::string& one : words)
    if (const std::size_t distance = edit_distance(word, one); distance < least) least = distance, best = one;
  return best;
}

}  // namespace braird::cli
