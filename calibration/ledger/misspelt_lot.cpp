// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/misspelt_lot.h"

#include <algorithm>
#include <cctype>
#include <sstream>
#include <vector>

#include "calibration/spelling.h"

namespace braird::ledger {
namespace {

constexpr std::size_t kLettersASlip = 6;  // a guess for a question, no source

/// The words that number lots.
std::vector<std::string> numbers_in(const std::string& name) {
  std::vector<std::string> numbers;
  std::istringstream words(name);
  for (std::string word; words >> word;)
    if (word.size() == 1 || word.find_first_of("0123456789") != std::string::npos) numbers.push_back(word);
  return numbers;
}

/// "rowan12" of "Rowan 12" and "Rowan-12".
std::string letters_alone(const std::string& name) {
  std::string letters;
  for (const char letter : name)
    if (const auto byte = static_cast<unsigned char>(letter); byte > 127 || std::isalnum(byte) != 0)
      letters += static_cast<char>(std::tolower(byte));
  return letters;
}

}  // namespace

std::optional<std::string> lot_spelt_like(const Database& file, const std::string& name) {
  std::optional<std::string> best;
  std::size_t least = std::max<std::size_t>(1, name.size() / kLettersASlip) + 1;
  Statement lots = file.prepare("SELECT name FROM lots WHERE name <> ? ORDER BY id");
  lots.bind(name);
  while (lots.next()) {
    const std::string other = lots.text(0);
    if (letters_alone(other) == letters_alone(name)) return other;
    if (numbers_in(other) != numbers_in(name)) continue;
    if (const std::size_t slips = edit_distance(name, other); slips < least) least = slips, best = other;
  }
  return best;
}

}  // namespace braird::ledger
