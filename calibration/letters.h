// SPDX-License-Identifier: Apache-2.0
// What is a letter? Names come from keyboards and tables in whatever encoding; pages and JSON take UTF-8
// only.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace braird {

/// How many bytes the letter at `at` takes; 0 if it is no well-formed UTF-8 (RFC 3629), or no letter at all.
std::size_t letter_size(std::string_view text, std::size_t at);

/// Is every part of it a letter?
bool all_letters(std::string_view text);

/// A lot's name without blanks at its ends. Throws std::invalid_argument with one clause if nothing is left,
/// or not all are letters.
std::string lot_name(std::string_view told);

}  // namespace braird
