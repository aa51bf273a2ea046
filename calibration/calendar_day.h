// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <optional>
#include <string>
#include <string_view>

namespace braird {

/// The day that "YYYY-MM-DD" (a time may follow a T) names; nothing if it names none.
inline std::optional<std::chrono::sys_days> calendar_day(std::string_view text) {
  constexpr std::string_view shape = "dddd-dd-dd";
  const auto fits = [](char form, char c) { return form == 'd' ? c >= '0' && c <= '9' : c == form; };
  if (text.size() < shape.size() || !std::equal(shape.begin(), shape.end(), text.begin(), fits) ||
      (text.size() > shape.size() && text[shape.size()] != 'T'))
    return std::nullopt;
  const auto number = [&](std::size_t at, std::size_t length) {
    int value = 0;
    for (const char digit : text.substr(at, length)) value = 10 * value + (digit - '0');
    return value;
  };
  const std::chrono::year_month_day date{std::chrono::year(number(0, 4)),
                                         std::chrono::month(static_cast<unsigned>(number(5, 2))),
                                         std::chrono::day(static_cast<unsigned>(number(8, 2)))};
  return date.ok() ? std::optional(std::chrono::sys_days(date)) : std::nullopt;
}

/// The share of the day, 0 to 1, that the time of "YYYY-MM-DDTHH:MM:SS" names; 0 without one.
inline double share_of_day(const std::string& text) {
  int hour = 0, minute = 0, second = 0;
  if (text.size() > 11) std::sscanf(text.c_str() + 11, "%2d:%2d:%2d", &hour, &minute, &second);
  return hour / 24. + minute / 1440. + second / 86400.;
}

}  // namespace braird
