// SPDX-License-Identifier: Apache-2.0
#include "cli/text/wrapped.h"

#include <algorithm>
#include <sstream>

namespace braird::cli {
namespace {

constexpr std::size_t kLongestLabel = 20, kFarIn = 10;

/// Where the words behind a line's label begin.
std::size_t hang_of(const std::string& line) {
  const std::size_t label = std::min(line.find_first_not_of(' '), line.size());
  const std::size_t words = line.find_first_not_of(' ', line.find("  ", label));
  return label >= kFarIn ? label : words <= kLongestLabel ? words : label + 2;
}

/// The blank at which a line that is too long is best broken; npos if it isn't, or has none behind its
/// indent.
std::size_t break_in(const std::string& line, std::size_t width) {
  if (columns(line) <= width) return std::string::npos;
  std::size_t single = std::string::npos, gap = std::string::npos;
  const std::size_t from = line.find_first_not_of(' ');
  for (std::size_t at = line.find(' ', from); at != std::string::npos; at = line.find(' ', at + 1)) {
    if (line[at + 1] == '%') continue;
    const std::size_t before = columns(line.substr(0, at));
    if (before > width && single != std::string::npos) break;
    single = at;
    if (line[at - 1] != ' ' && line[at + 1] == ' ' && before > width / 2) gap = at;
  }
  return gap != std::string::npos ? gap : single;
}

}  // namespace

std::size_t columns(const std::string& text) {
  return static_cast<std::size_t>(
      std::ranges::count_if(text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string hanging(const std::string& first, const std::string& words, std::size_t width,
                    std::size_t indent) {
  std::string text, row = first, gap;
  std::istringstream in(words);
  for (std::string word; in >> word;) {
    if (!gap.empty() && columns(row) + 1 + columns(word) > width) {
      text.append(row).append(1, '\n');
      row.assign(indent, ' ');
      gap.clear();
    }
    row.append(gap).append(word);
    gap.assign(1, ' ');
  }
  return text.append(row).append(1, '\n');
}

std::string for_terminal(const std::string& text, std::size_t width) {
  if (width == 0) return text;
  std::string broken;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    const std::string indent(hang_of(line), ' ');
    for (std::size_t end; (end = break_in(line, width)) != std::string::npos;) {
      broken.append(line, 0, line.find_last_not_of(' ', end) + 1).append(1, '\n');
      line.replace(0, line.find_first_not_of(' ', end), indent);
    }
    broken.append(line).append(1, '\n');
  }
  return broken;
}

long lines_of(const std::string& text, std::size_t width) {
  return std::ranges::count(for_terminal(text, width), '\n');
}

std::string fitting(const std::vector<Entry>& entries, long room, std::size_t width) {
  std::vector<bool> kept(entries.size());
  for (const bool first : {true, false})
    for (std::size_t at = 0; at < entries.size(); ++at) {
      const long lines = lines_of(entries[at].text, width);
      if (entries[at].first != first || lines > room) continue;
      kept[at] = true;
      room -= lines;
    }
  std::string text;
  for (std::size_t at = 0; at < entries.size(); ++at)
    if (kept[at]) text += entries[at].text;
  return text;
}

}  // namespace braird::cli
