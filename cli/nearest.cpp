// SPDX-License-Identifier: Apache-2.0
#include "cli/nearest.h"

#include <algorithm>
#include <cctype>

#include "calibration/spelling.h"

namespace braird::cli {
namespace {

/// The only one of `words` that `word` begins.
std::optional<std::string> completed(const std::string& word, const std::vector<std::string>& words) {
  const auto begun = [&](const std::string& one) { return one.starts_with(word); };
  if (word.size() < 3 || std::ranges::count_if(words, begun) != 1) return std::nullopt;
  return *std::ranges::find_if(words, begun);
}

}  // namespace

std::optional<std::string> nearest(const std::string& word, const std::vector<std::string>& words) {
  if (auto whole = completed(word, words)) return whole;
  std::optional<std::string> best;
  const auto letters = std::ranges::count_if(word, [](unsigned char c) { return std::isalnum(c); });
  std::size_t least = most_slips(static_cast<std::size_t>(letters)) + 1;
  for (const std::string& one : words)
    if (const std::size_t distance = edit_distance(word, one); distance < least) least = distance, best = one;
  return best;
}

}  // namespace braird::cli
