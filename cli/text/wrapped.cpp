// SPDX-License-Identifier: Apache-2.0
#include "cli/text/wrapped.h"

#include <algorithm>
#include <sstream>

namespace braird::cli {

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

long lines_of(const std::string& text) {
  return std::count(text.begin(), text.end(), '\n');
}

std::string fitting(const std::vector<Entry>& entries, long room) {
  std::vector<bool> kept(entries.size());
  for (const bool first : {true, false})
    for (std::size_t at = 0; at < entries.size(); ++at)
      if (entries[at].first == first && lines_of(entries[at].text) <= room) {
        kept[at] = true;
        room -= lines_of(entries[at].text);
      }
  std::string text;
  for (std::size_t at = 0; at < entries.size(); ++at)
    if (kept[at]) text += entries[at].text;
  return text;
}

}  // namespace braird::cli
