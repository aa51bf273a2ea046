// SPDX-License-Identifier: Apache-2.0
#include "cli/report/html.h"

#include <fmt/format.h>

#include "calibration/figure_words.h"
#include "calibration/json_words.h"
#include "calibration/letters.h"
#include "cli/report/words.h"

namespace braird::report {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD", kUnbroken = "\xC2\xA0";

std::string_view entity(char letter) {
  switch (letter) {
    case '&':
      return "&amp;";
    case '<':
      return "&lt;";
    case '>':
      return "&gt;";
    case '"':
      return "&quot;";
    case '\'':
      return "&#39;";
    default:
      return "";
  }
}

}  // namespace

std::string script_json(const nlohmann::ordered_json& json) {
  std::string text;
  for (const char letter : text_of(json)) text += letter == '<' ? "\\u003c" : std::string(1, letter);
  return text;
}

std::string escaped(std::string_view text) {
  std::string safe;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = letter_size(text, at);
    const std::string_view letter = text.substr(at, std::max<std::size_t>(size, 1)), name = entity(letter[0]);
    const bool in_figure = text.substr(at, 2) == " %";
    safe += size == 0 ? kReplacement : in_figure ? kUnbroken : !name.empty() ? name : letter;
    at += letter.size();
  }
  return safe;
}

std::string whole(std::string_view words) {
  return fmt::format("<span class=\"whole\">{}</span>", escaped(words));
}

std::string base64(std::string_view bytes) {
  constexpr const char* letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t at = 0; at < bytes.size(); at += 3) {
    unsigned group = 0;
    for (std::size_t i = 0; i < 3; ++i)
      group = group << 8 | (at + i < bytes.size() ? static_cast<unsigned char>(bytes[at + i]) : 0u);
    for (std::size_t i = 0; i < 4; ++i)
      text += at + i > bytes.size() ? '=' : letters[group >> (18 - 6 * i) & 63];
  }
  return text;
}

std::string rate_words(const Estimate& rate) {
  return rate.estimate > 1 ? fmt::format(words::kSeedlingsASeed, rate.estimate)
                           : fmt::format(words::kRate, percent(rate.estimate));
}

std::string range_words(const Estimate& rate) {
  return rate.estimate > 1 ? fmt::format(words::kSeedlingsASeedRange, rate.low, rate.high)
                           : fmt::format(words::kRange, percent(rate.low), percent(rate.high));
}

std::string counted(int number, const char* const (&words)[2]) {
  return braird::counted(number, words[0], words[1]);
}

std::string html_of(const Table& table) {
  std::string html =
      fmt::format("<div class=\"table\"><table><caption>{}</caption><thead><tr>", escaped(table.caption));
  for (const std::string& head : table.heads) html += fmt::format("<th scope=\"col\">{}</th>", escaped(head));
  html += "</tr></thead><tbody>";
  for (std::size_t at = 0; at < table.rows.size(); ++at) {
    html += static_cast<int>(at) == table.chosen ? "<tr class=\"chosen\">" : "<tr>";
    html += fmt::format("<th scope=\"row\">{}</th>", table.rows[at].at(0));
    for (std::size_t col = 1; col < table.rows[at].size(); ++col)
      html += fmt::format("<td data-head=\"{}\">{}</td>", escaped(table.heads[col]), table.rows[at][col]);
    html += "</tr>";
  }
  return html + "</tbody></table></div>\n";
}

std::string paragraph(std::string_view words, std::string_view kind) {
  return kind.empty() ? fmt::format("<p>{}</p>\n", escaped(words))
                      : fmt::format("<p class=\"{}\">{}</p>\n", kind, escaped(words));
}

std::string heading(int level, std::string_view words) {
  return fmt::format("<h{0}>{1}</h{0}>\n", level, escaped(words));
}

}  // namespace braird::report
