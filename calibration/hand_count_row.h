// SPDX-License-Identifier: Apache-2.0
// A row of a table of hand counts, read field by field.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <map>
#include <stdexcept>
#include <string>

#include "calibration/csv.h"
#include "calibration/letters.h"

namespace braird {

/// The caller adds file and line.
struct BadRow : std::invalid_argument {
  using std::invalid_argument::invalid_argument;
};

inline std::string lower(std::string text) {
  std::ranges::transform(text, text.begin(),
                         [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text;
}

/// Where each named column stands, by its name in small letters.
using CountColumns = std::map<std::string, std::size_t>;

/// A row whose fields are asked for by their column; each throws BadRow with one clause.
struct HandCountRow {
  const CountColumns& columns;
  const CsvRow& csv;

  const std::string& text(const std::string& column) const {
    const std::size_t at = columns.at(column);
    if (at >= csv.fields.size() || csv.fields[at].empty()) throw BadRow(fmt::format("{} is missing", column));
    return csv.fields[at];
  }
  const std::string& name(const std::string& column) const {
    const std::string& told = text(column);
    if (!all_letters(told))
      throw BadRow(fmt::format("{} is not written in UTF-8; save the table in UTF-8", column));
    return told;
  }
  int whole(const std::string& column, int most, int least = 0) const {
    const std::string& digits = text(column);
    int number = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (error != std::errc() || end != digits.data() + digits.size() || number < least || number > most)
      throw BadRow(
          fmt::format("{} is \"{}\", but must be a whole number from {} to {}", column, digits, least, most));
    return number;
  }
  double time(const std::string& column) const {
    const std::string& digits = text(column);
    double number = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (error != std::errc() || end != digits.data() + digits.size() || !(number >= 0 && number < 1e6))
      throw BadRow(fmt::format("{} is \"{}\", but must be a number, 0 or more", column, digits));
    return number;
  }
};

inline CountColumns columns_of(const CsvRow& header) {
  CountColumns columns;
  for (std::size_t at = 0; at < header.fields.size(); ++at) columns.try_emplace(lower(header.fields[at]), at);
  return columns;
}

/// Hands each row below the heading to `take`. Throws std::invalid_argument that names the first faulty
/// rows, a line each.
template <typename Take>
void take_rows(const std::vector<CsvRow>& rows, const std::string& file, Take take) {
  constexpr std::size_t most_faults = 10;
  const CountColumns columns = columns_of(rows.at(0));
  std::string faults;
  for (std::size_t at = 1, found = 0; at < rows.size() && found < most_faults; ++at) {
    try {
      take(HandCountRow{columns, rows[at]});
    } catch (const BadRow& why) {
      faults += fmt::format("{}{}, line {}: {}", found++ > 0 ? "\n" : "", file, rows[at].line, why.what());
    }
  }
  if (!faults.empty()) throw std::invalid_argument(faults);
}

}  // namespace braird
