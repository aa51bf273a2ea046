// SPDX-License-Identifier: Apache-2.0
#include "cli/dates.h"

#include <regex>
#include <stdexcept>

namespace braird::cli {

std::optional<std::chrono::sys_days> day_of(const std::string& text) {
  static const std::regex kShape("([0-9]{4})-([0-9]{2})-([0-9]{2})(T.*)?");
  std::smatch parts;
  if (!std::regex_match(text, parts, kShape)) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year(std::stoi(parts[1])),
                                         std::chrono::month(static_cast<unsigned>(std::stoi(parts[2]))),
                                         std::chrono::day(static_cast<unsigned>(std::stoi(parts[3])))};
  if (!date.ok()) return std::nullopt;
  return std::chrono::sys_days(date);
}

std::chrono::sys_days parse_date(const std::string& option, const std::string& text) {
  const auto day = day_of(text);
  if (!day || text.size() != 10)
    throw std::invalid_argument(option + " " + text + ": must be a date, as in 2026-03-19");
  return *day;
}

}  // namespace braird::cli
