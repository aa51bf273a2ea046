// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace braird::cli {

/// How many columns `text` takes: UTF-8, one a character.
std::size_t columns(const std::string& text);

/// `first` and then `words`, broken at blanks before `width` columns; later lines are set in by `indent`
/// columns. `first` ends where the words begin. Ends with a line feed.
std::string hanging(const std::string& first, const std::string& words, std::size_t width,
                    std::size_t indent);

/// `text` for a terminal of so many columns: longer lines are broken, at gaps between a table's columns
/// rather than at single blanks, and hang under what follows their label. 0 columns leave all lines whole.
std::string for_terminal(const std::string& text, std::size_t width);

/// So many lines that makes.
long lines_of(const std::string& text, std::size_t width);

struct Entry {
  std::string text;   ///< whole lines
  bool first = true;  ///< gets room before those that are not
};

/// As many entries as `room` lines of so many columns hold, none cut, in their order.
std::string fitting(const std::vector<Entry>& entries, long room, std::size_t width);

}  // namespace braird::cli
