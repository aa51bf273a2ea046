// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <chrono>
#include <optional>
#include <string>

namespace braird::cli {

/// The day that "YYYY-MM-DD" (a time may follow) names; nothing if it names none.
std::optional<std::chrono::sys_days> day_of(const std::string& text);

/// The same for an option's value. Throws std::invalid_argument with one sentence that names the option.
std::chrono::sys_days parse_date(const std::string& option, const std::string& text);

/// An option's value as it was typed, if it is a date; nothing where it isn't told. Throws likewise.
std::optional<std::string> told_day(const std::string& option, const std::string& text);

/// "YYYY-MM-DD".
std::string iso(std::chrono::sys_days day);

}  // namespace braird::cli
