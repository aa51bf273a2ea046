// SPDX-License-Identifier: Apache-2.0
#include "calibration/letters.h"

#include <stdexcept>

namespace braird {
namespace {

bool continues(std::string_view text, std::size_t at) {
  return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xc0) == 0x80;
}

}  // namespace

std::size_t letter_size(std::string_view text, std::size_t at) {
  const auto first = static_cast<unsigned char>(text[at]);
  const auto second = static_cast<unsigned char>(at + 1 < text.size() ? text[at + 1] : 0);
  if (first < 0x80) return (first < 0x20 && first != '\n' && first != '\t') || first == 0x7f ? 0 : 1;
  const std::size_t size = first >= 0xf5 ? 0 : first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : first >= 0xc2 ? 2 : 0;
  for (std::size_t i = 1; i < size; ++i)
    if (!continues(text, at + i)) return 0;
  const bool overlong = (first == 0xe0 && second < 0xa0) || (first == 0xf0 && second < 0x90);
  const bool no_letter = (first == 0xed && second > 0x9f) || (first == 0xf4 && second > 0x8f) ||
                         (first == 0xc2 && second < 0xa0);
  return overlong || no_letter ? 0 : size;
}

bool all_letters(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = letter_size(text, at);
    if (size == 0) return false;
    at += size;
  }
  return true;
}

std::string lot_name(std::string_view told) {
  constexpr std::string_view blanks = " \t\r\n";
  const auto from = told.find_first_not_of(blanks);
  if (from == std::string_view::npos)
    throw std::invalid_argument("a lot needs a name; tell it as written on the pack");
  const std::string_view name = told.substr(from, told.find_last_not_of(blanks) - from + 1);
  if (!all_letters(name))
    throw std::invalid_argument(
        "the lot's name is not written in UTF-8; type it, or save the table, in UTF-8");
  return std::string(name);
}

}  // namespace braird
