// SPDX-License-Identifier: Apache-2.0
#include "cli/check_counts.h"

#include <fmt/format.h>

#include <charconv>
#include <map>
#include <stdexcept>

#include "calibration/csv.h"

namespace braird::cli {
namespace {

constexpr int kMostSeedlings = 1000, kMostRows = 1000;

std::optional<int> whole(std::string_view digits) {
  int number = 0;
  const auto [end, trouble] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
  if (trouble != std::errc() || end != digits.data() + digits.size()) return std::nullopt;
  return number;
}

std::string trimmed(const std::string& line) {
  const auto from = line.find_first_not_of(" \t\r");
  return from == std::string::npos ? "" : line.substr(from, line.find_last_not_of(" \t\r") - from + 1);
}

using Columns = std::map<std::string, std::size_t>;

int field(const CsvRow& row, const Columns& columns, const char* name, int least, int most) {
  const std::size_t at = columns.at(name);
  const auto value = at < row.fields.size() ? whole(row.fields[at]) : std::nullopt;
  if (!value || *value < least || *value > most)
    throw std::invalid_argument(
        fmt::format("line {}: {} must be a whole number from {} to {}", row.line, name, least, most));
  return *value;
}

/// Nothing where the column is missing or empty.
std::optional<std::string> words_in(const CsvRow& row, const Columns& columns, const char* name) {
  const auto at = columns.find(name);
  if (at == columns.end() || at->second >= row.fields.size() || row.fields[at->second].empty())
    return std::nullopt;
  return row.fields[at->second];
}

TypedCount count_of(const CsvRow& row, const Columns& columns) {
  TypedCount count;
  count.tray = words_in(row, columns, "tray");
  count.photo = words_in(row, columns, "photo");
  if (const auto drawn = words_in(row, columns, "drawn")) {
    if (*drawn != "yes" && *drawn != "no")
      throw std::invalid_argument(fmt::format("line {}: drawn must be yes or no", row.line));
    count.drawn = *drawn == "yes";
  }
  count.row = field(row, columns, "row", 1, kMostRows);
  count.col = field(row, columns, "col", 1, kMostRows);
  count.seedlings = field(row, columns, "count", 0, kMostSeedlings);
  count.line = row.line;
  return count;
}

}  // namespace

std::string cell_name(const Layout& layout, int cell) {
  return fmt::format("row {}, column {}", cell / layout.cols + 1, cell % layout.cols + 1);
}

std::vector<ledger::HandCheck> ask_counts(std::istream& in, std::ostream& out, const Layout& layout,
                                          const std::vector<ledger::CheckProposal>& proposals) {
  std::vector<ledger::HandCheck> checks;
  out << "How many seedlings stand there? Enter skips a cell, q ends.\n";
  for (std::size_t at = 0; at < proposals.size();) {
    out << fmt::format("{:>3} of {}  {}: ", at + 1, proposals.size(), cell_name(layout, proposals[at].cell))
        << std::flush;
    std::string line;
    if (!std::getline(in, line) || (line = trimmed(line)) == "q") break;
    const auto number = whole(line);
    if (!line.empty() && (!number || *number < 0 || *number > kMostSeedlings)) {
      out << fmt::format("a whole number from 0 to {}, please\n", kMostSeedlings);
      continue;
    }
    if (number) checks.push_back({proposals[at].cell, *number, proposals[at].drawn});
    ++at;
  }
  return checks;
}

std::vector<TypedCount> read_counts(std::istream& in, const std::string& file) {
  try {
    const auto rows = read_csv(in);
    Columns columns;
    if (!rows.empty())
      for (std::size_t at = 0; at < rows[0].fields.size(); ++at) columns[rows[0].fields[at]] = at;
    for (const char* needed : {"row", "col", "count"})
      if (!columns.contains(needed))
        throw std::invalid_argument(
            "the first line must name the columns row,col,count and, for several trays, tray");
    std::vector<TypedCount> counts;
    for (std::size_t at = 1; at < rows.size(); ++at) counts.push_back(count_of(rows[at], columns));
    return counts;
  } catch (const std::invalid_argument& why) {
    throw std::invalid_argument(fmt::format("{}: {}", file, why.what()));
  }
}

}  // namespace braird::cli
