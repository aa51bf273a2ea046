// SPDX-License-Identifier: Apache-2.0
#include "calibration/csv.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <stdexcept>
#include <string_view>
#include <utility>

namespace braird {
namespace {

constexpr std::string_view kSeparatorTold = "sep=";  // in a first line of its own, as spreadsheets write it

std::string trimmed(std::string_view text) {
  constexpr std::string_view blanks = " \t\r";
  const auto from = text.find_first_not_of(blanks);
  if (from == std::string_view::npos) return "";
  return std::string(text.substr(from, text.find_last_not_of(blanks) - from + 1));
}

char separator_of(std::string_view text) {
  const std::string_view first_line = text.substr(0, text.find('\n'));
  for (const char separator : {';', '\t'})
    if (first_line.find(',') == std::string_view::npos &&
        first_line.find(separator) != std::string_view::npos)
      return separator;
  return ',';
}

struct Reader {
  std::string_view text;
  char separator;
  int line = 1;
  std::size_t at = 0;

  bool done() const { return at >= text.size(); }

  // A field in quotes; a doubled quote is one quote.
  std::string quoted() {
    const int from = line;
    std::string field;
    for (++at; !done(); ++at) {
      if (text[at] == '\n') ++line;
      if (text[at] != '"') {
        field += text[at];
      } else if (at + 1 < text.size() && text[at + 1] == '"') {
        field += text[++at];
      } else {
        ++at;
        return field + plain();
      }
    }
    throw std::invalid_argument(fmt::format("line {}: a quote is opened but never closed", from));
  }

  std::string plain() {
    const std::size_t from = at;
    while (!done() && text[at] != separator && text[at] != '\n') ++at;
    return trimmed(text.substr(from, at - from));
  }

  std::string field() {
    while (!done() && text[at] == ' ') ++at;
    return !done() && text[at] == '"' ? quoted() : plain();
  }

  CsvRow row() {
    CsvRow row{line, {field()}};
    while (!done() && text[at] == separator) {
      ++at;
      row.fields.push_back(field());
    }
    if (!done()) ++at, ++line;
    return row;
  }
};

}  // namespace

std::vector<CsvRow> read_csv(std::istream& in) {
  std::string text{std::istreambuf_iterator<char>(in), {}};
  if (text.find('\n') == std::string::npos) std::ranges::replace(text, '\r', '\n');
  std::string_view view = text;
  if (view.starts_with("\xEF\xBB\xBF")) view.remove_prefix(3);
  Reader reader{view, separator_of(view)};
  if (view.starts_with(kSeparatorTold) && view.size() > kSeparatorTold.size()) {
    reader.separator = view[kSeparatorTold.size()];
    while (reader.line == 1 && !reader.done()) reader.row();
  }
  std::vector<CsvRow> rows;
  while (!reader.done()) {
    CsvRow row = reader.row();
    const std::size_t named = rows.empty() ? row.fields.size() : rows[0].fields.size();
    while (row.fields.size() > named && row.fields.back().empty()) row.fields.pop_back();
    if (std::ranges::all_of(row.fields, [](const std::string& field) { return field.empty(); })) continue;
    if (row.fields.size() > named)
      throw std::invalid_argument(fmt::format(
          "line {}: {} fields where the first line has {}; is a comma within one of them? Put that in quotes",
          row.line, row.fields.size(), named));
    rows.push_back(std::move(row));
  }
  return rows;
}

std::vector<CsvRow> read_csv(std::istream& in, const std::string& file) try {
  return read_csv(in);
} catch (const std::invalid_argument& why) {
  throw std::invalid_argument(file + ", " + why.what());
}

}  // namespace braird
