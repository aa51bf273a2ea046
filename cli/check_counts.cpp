// SPDX-License-Identifier: Apache-2.0
#include "cli/check_counts.h"

#include <fmt/format.h>

#include <stdexcept>

#include "calibration/gap_map.h"
#include "calibration/hand_count_row.h"
#include "calibration/limits.h"
#include "cli/typed_words.h"

namespace braird::cli {
namespace {

std::string trimmed(const std::string& line) {
  const auto from = line.find_first_not_of(" \t\r");
  return from == std::string::npos ? "" : line.substr(from, line.find_last_not_of(" \t\r") - from + 1);
}

/// Nothing where the column is missing or empty.
std::optional<std::string> words_in(const HandCountRow& row, const char* column) {
  const auto at = row.columns.find(column);
  if (at == row.columns.end() || at->second >= row.csv.fields.size() || row.csv.fields[at->second].empty())
    return std::nullopt;
  return row.csv.fields[at->second];
}

TypedCount count_of(const HandCountRow& row) {
  TypedCount count;
  count.tray = words_in(row, "tray");
  count.photo = words_in(row, "photo");
  if (const auto drawn = words_in(row, "drawn")) {
    if (*drawn != "yes" && *drawn != "no") throw BadRow("drawn must be yes or no");
    count.drawn = *drawn == "yes";
  }
  count.row = row.whole("row", kMostRows, 1);
  count.col = row.whole("col", kMostRows, 1);
  count.seedlings = row.whole("count", kMostSeedlings);
  count.line = row.csv.line;
  return count;
}

}  // namespace

std::vector<ledger::HandCheck> ask_counts(std::istream& in, std::ostream& out, const Layout& layout,
                                          const std::vector<ledger::CheckProposal>& proposals) {
  std::vector<ledger::HandCheck> checks;
  out << "How many seedlings stand there? Enter skips a cell, q ends.\n";
  for (std::size_t at = 0; at < proposals.size();) {
    out << fmt::format("{:>3} of {}  {}: ", at + 1, proposals.size(), place_name(layout, proposals[at].cell))
        << std::flush;
    std::string line;
    if (!std::getline(in, line) || (line = trimmed(line)) == "q") break;
    const auto number = whole_of(line);
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
  const std::vector<CsvRow> rows = read_csv(in, file);
  const CountColumns columns = rows.empty() ? CountColumns() : columns_of(rows[0]);
  for (const char* needed : {"row", "col", "count"})
    if (!columns.contains(needed))
      throw std::invalid_argument(
          file + ": the first line must name the columns row,col,count and, for several trays, tray");
  std::vector<TypedCount> counts;
  take_rows(rows, file, [&](const HandCountRow& row) { counts.push_back(count_of(row)); });
  return counts;
}

}  // namespace braird::cli
