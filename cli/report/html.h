// SPDX-License-Identifier: Apache-2.0
// Small parts that all of the page is made of.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "calibration/interval.h"

namespace braird::report {

/// Text for HTML, SVG and their attributes, wherever it came from: markup is defused, control characters and
/// broken UTF-8 become the replacement character, and no line ends between a figure and its %.
std::string escaped(std::string_view text);

/// Text for HTML that isn't broken at its hyphens: a day, a tray's name.
std::string whole(std::string_view words);

/// Bytes for a data URI (RFC 4648, section 4).
std::string base64(std::string_view bytes);

/// JSON that can stand in a <script>: "<" never does.
std::string script_json(const nlohmann::ordered_json& json);

/// "82 %", or "1.43 a seed" for rates that seed clusters push above 1.
std::string rate_words(const Estimate& rate);
/// "74 to 88 %", likewise.
std::string range_words(const Estimate& rate);

/// "1 tray", "12 trays", "1,056 cells".
std::string counted(int number, const char* const (&words)[2]);

/// <table> with one heading row; cells are HTML. `chosen` is the row to stand out, -1 for none; `caption` for
/// screen readers.
struct Table {
  std::string caption;
  std::vector<std::string> heads;
  std::vector<std::vector<std::string>> rows;
  int chosen = -1;
};
std::string html_of(const Table& table);

/// <p class="kind">, text escaped.
std::string paragraph(std::string_view words, std::string_view kind = "");
/// <h2> and so on, text escaped.
std::string heading(int level, std::string_view words);

}  // namespace braird::report
