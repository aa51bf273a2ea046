// SPDX-License-Identifier: Apache-2.0
#include "cli/dates.h"

#include <fmt/core.h>

#include <algorithm>
#include <stdexcept>
#include <string_view>

namespace braird::cli {
namespace {

constexpr std::string_view kShape = "dddd-dd-dd";

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

bool starts_as_date(const std::string& text) {
  return text.size() >= kShape.size() &&
         std::equal(kShape.begin(), kShape.end(), text.begin(),
                    [](char shape, char c) { return shape == 'd' ? is_digit(c) : c == shape; });
}

}  // namespace

std::optional<std::chrono::sys_days> day_of(const std::string& text) {
  if (!starts_as_date(text) || (text.size() > kShape.size() && text[kShape.size()] != 'T'))
    return std::nullopt;
  const auto part = [&](std::size_t at, std::size_t length) { return std::stoi(text.substr(at, length)); };
  const std::chrono::year_month_day date{std::chrono::year(part(0, 4)),
                                         std::chrono::month(static_cast<unsigned>(part(5, 2))),
                                         std::chrono::day(static_cast<unsigned>(part(8, 2)))};
  if (!date.ok()) return std::nullopt;
  return std::chrono::sys_days(date);
}

std::chrono::sys_days parse_date(const std::string& option, const std::string& text) {
  const auto day = day_of(text);
  if (!day || text.size() != kShape.size())
    throw std::invalid_argument(option + " " + text + ": must be a date, as in 2026-03-19");
  return *day;
}

std::string iso(std::chrono::sys_days day) {
  const std::chrono::year_month_day date(day);
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                     static_cast<unsigned>(date.day()));
}

}  // namespace braird::cli
