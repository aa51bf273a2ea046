// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

namespace braird::cli {

/// A line of comma-separated values (RFC 4180, but LF at the end); fields are quoted where they need it.
inline std::string csv_line(const std::vector<std::string>& fields) {
  std::string line;
  for (std::size_t at = 0; at < fields.size(); ++at) {
    if (at > 0) line += ',';
    const std::string& field = fields[at];
    const bool plain = field.find_first_of(",\"\r\n\t;") == std::string::npos &&
                       (field.empty() || (field.front() != ' ' && field.back() != ' '));
    if (plain) {
      line += field;
      continue;
    }
    line += '"';
    for (const char c : field) line += c == '"' ? std::string("\"\"") : std::string(1, c);
    line += '"';
  }
  return line + '\n';
}

}  // namespace braird::cli
