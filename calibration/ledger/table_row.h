// SPDX-License-Identifier: Apache-2.0
// A row of a table of text, its fields asked for by their column's name. All throw std::invalid_argument with
// one clause that names the column.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "calibration/calendar_day.h"

namespace braird::ledger {

[[noreturn]] inline void refuse(const std::string& why) {
  throw std::invalid_argument(why);
}

inline std::optional<double> as_number(std::string_view text) {
  double value = 0;
  const auto [end, trouble] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (trouble != std::errc() || end != text.data() + text.size() || !(value > -1e12 && value < 1e12))
    return std::nullopt;
  return value;
}

/// A row and its columns' places.
struct Row {
  const std::map<std::string, std::size_t>& columns;
  const std::vector<std::string>& fields;

  std::optional<std::string> maybe(const std::string& column) const {
    const auto at = columns.find(column);
    if (at == columns.end() || at->second >= fields.size() || fields[at->second].empty()) return std::nullopt;
    return fields[at->second];
  }
  std::string text(const std::string& column) const {
    const auto value = maybe(column);
    if (!value) refuse(column + " is missing");
    return *value;
  }
  std::optional<double> maybe_number(const std::string& column) const {
    const auto value = maybe(column);
    if (!value) return std::nullopt;
    const auto number = as_number(*value);
    if (!number) refuse(fmt::format("{} is \"{}\", but must be a number", column, *value));
    return number;
  }
  double number(const std::string& column) const {
    text(column);
    return *maybe_number(column);
  }
  std::optional<int> maybe_whole(const std::string& column, int least, int most) const {
    const auto value = maybe_number(column);
    if (value && !(*value >= least && *value <= most && *value == std::floor(*value)))
      refuse(fmt::format("{} is {}, but must be a whole number from {} to {}", column, *value, least, most));
    return value ? std::optional(static_cast<int>(*value)) : std::nullopt;
  }
  int whole(const std::string& column, int least, int most) const {
    text(column);
    return *maybe_whole(column, least, most);
  }
  std::optional<bool> maybe_yes(const std::string& column) const {
    const auto value = maybe(column);
    if (value && *value != "yes" && *value != "no")
      refuse(fmt::format("{} is \"{}\", but must be yes or no", column, *value));
    return value ? std::optional(*value == "yes") : std::nullopt;
  }
  std::optional<std::string> maybe_day(const std::string& column) const {
    auto value = maybe(column);
    if (value && (value->size() != 10 || !calendar_day(*value)))
      refuse(fmt::format("{} is \"{}\", but must be a date, as in 2026-03-19", column, *value));
    return value;
  }
  std::optional<std::string> maybe_time(const std::string& column) const {
    auto value = maybe(column);
    if (value && !calendar_day(*value))
      refuse(fmt::format("{} is \"{}\", but must be a date and time, as in 2026-03-19T09:30:00", column,
                         *value));
    return value;
  }
  std::vector<double> numbers(const std::string& column) const {
    std::vector<double> values;
    const std::string all = maybe(column).value_or("");
    for (std::size_t from = 0; from < all.size();) {
      const std::size_t blank = std::min(all.find(' ', from), all.size());
      const auto value = as_number(std::string_view(all).substr(from, blank - from));
      if (!value) refuse(fmt::format("{} holds something other than numbers", column));
      values.push_back(*value);
      from = blank + 1;
    }
    return values;
  }
};

}  // namespace braird::ledger
