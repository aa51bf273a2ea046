// SPDX-License-Identifier: Apache-2.0
#include "cli/report/html.h"

#include <fmt/format.h>

#include "cli/report/words.h"
#include "cli/text/answer_parts.h"

namespace braird::report {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

bool continues(std::string_view text, std::size_t at) {
  return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xc0) == 0x80;
}

/// How many bytes the letter at `at` takes; 0 if it is no well-formed UTF-8 (RFC 3629), or no letter at all.
std::size_t letter_size(std::string_view text, std::size_t at) {
  const auto first = static_cast<unsigned char>(text[at]);
  const auto second = static_cast<unsigned char>(at + 1 < text.size() ? text[at + 1] : 0);
  if (first < 0x80) return (first < 0x20 && first != '\n' && first != '\t') || first == 0x7f ? 0 : 1;
  const std::size_t size = first >= 0xf5 ? 0 : first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : first >= 0xc2 ? 2 : 0;
  for (std::size_t i = 1; i < size; ++i)
    if (!continues(text, at + i)) return 0;
  const bool overlong = (first == 0xe0 && second < 0xa0) || (first == 0xf0 && second < 0x90);
  const bool no_letter = (first == 0xed && second > 0x9f) || (first == 0xf4 && second > 0x8f) ||
                         (first == 0xc2 && second < 0xa0);
  return overlong || no_letter ? 0 : size;
}

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

std::string grouped(int number) {
  return number < 1000 ? std::to_string(number)
                       : fmt::format("{},{:03}", grouped(number / 1000), number % 1000);
}

}  // namespace

std::string escaped(std::string_view text) {
  std::string safe;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = letter_size(text, at);
    const std::string_view letter = text.substr(at, std::max<std::size_t>(size, 1)), name = entity(letter[0]);
    safe += size == 0 ? kReplacement : !name.empty() ? name : letter;
    at += letter.size();
  }
  return safe;
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
                           : fmt::format(words::kRate, cli::percent(rate.estimate));
}

std::string range_words(const Estimate& rate) {
  return rate.estimate > 1 ? fmt::format(words::kSeedlingsASeedRange, rate.low, rate.high)
                           : fmt::format(words::kRange, cli::percent(rate.low), cli::percent(rate.high));
}

std::string counted(int number, const char* const (&words)[2]) {
  return fmt::format("{} {}", grouped(number), words[number == 1 ? 0 : 1]);
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
