// SPDX-License-Identifier: Apache-2.0
#include "cli/dates.h"

#include <fmt/core.h>

#include <stdexcept>

#include "calibration/calendar_day.h"

namespace braird::cli {

std::optional<std::chrono::sys_days> day_of(const std::string& text) {
  return calendar_day(text);
}

std::chrono::sys_days parse_date(const std::string& option, const std::string& text) {
  const auto day = day_of(text);
  if (!day || text.size() != 10)
    throw std::invalid_argument(option + " " + text + ": must be a date, as in 2026-03-19");
  return *day;
}

std::optional<std::string> told_day(const std::string& option, const std::string& text) {
  if (text.empty()) return std::nullopt;
  parse_date(option, text);
  return text;
}

std::string iso(std::chrono::sys_days day) {
  const std::chrono::year_month_day date(day);
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                     static_cast<unsigned>(date.day()));
}

}  // namespace braird::cli
