// SPDX-License-Identifier: Apache-2.0
// Comma-separated values as spreadsheets write them (RFC 4180): quotes, CRLF, a byte-order mark; semicolons
// or tabs instead of commas where the first line has them, or what a first line "sep=;" tells; lines that end
// with CR alone.
#pragma once

#include <istream>
#include <string>
#include <vector>

namespace braird {

struct CsvRow {
  int line = 0;                     ///< from 1, where the row begins
  std::vector<std::string> fields;  ///< blanks around them taken off
};

/// All rows but empty ones. Throws std::invalid_argument if one has more fields than the first, or a quote is
/// never closed.
std::vector<CsvRow> read_csv(std::istream& in);

/// The same of a file, whose name the sentence then begins with.
std::vector<CsvRow> read_csv(std::istream& in, const std::string& file);

}  // namespace braird
