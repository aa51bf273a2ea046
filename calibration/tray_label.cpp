// SPDX-License-Identifier: Apache-2.0
#include "calibration/tray_label.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <stdexcept>
#include <string_view>
#include <vector>

#include "calibration/calendar_day.h"
#include "calibration/limits.h"

namespace braird {
namespace {

constexpr std::string_view kName = "braird ";
constexpr std::size_t kMostBytes = 150;
constexpr std::size_t kFields = 7;

bool needs_escape(unsigned char c) {
  return c == '%' || c == '|' || c < 0x20 || c == 0x7f;
}

std::string escaped(const std::string& field) {
  std::string text;
  for (const char c : field)
    text += needs_escape(static_cast<unsigned char>(c))
                ? fmt::format("%{:02X}", static_cast<unsigned char>(c))
                : std::string(1, c);
  return text;
}

std::optional<int> whole(std::string_view digits, int base = 10) {
  int number = 0;
  const auto [end, trouble] = std::from_chars(digits.data(), digits.data() + digits.size(), number, base);
  if (trouble != std::errc() || end != digits.data() + digits.size() || number < 0) return std::nullopt;
  return number;
}

std::optional<std::string> unescaped(std::string_view field) {
  std::string text;
  for (std::size_t at = 0; at < field.size(); ++at) {
    if (field[at] != '%') {
      text += field[at];
      continue;
    }
    const auto code = at + 2 < field.size() ? whole(field.substr(at + 1, 2), 16) : std::nullopt;
    if (!code) return std::nullopt;
    text += static_cast<char>(*code);
    at += 2;
  }
  return text;
}

std::vector<std::string_view> split(std::string_view text) {
  std::vector<std::string_view> fields;
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t bar = std::min(text.find('|', from), text.size());
    fields.push_back(text.substr(from, bar - from));
    from = bar + 1;
  }
  return fields;
}

bool is_day(const std::string& text) {
  return text.size() == 10 && calendar_day(text);
}

std::optional<std::string> some(const std::string& text) {
  return text.empty() ? std::nullopt : std::optional(text);
}

/// What is wrong with a label, or nothing.
const char* fault_of(const TrayLabel& label) {
  if (label.tag.empty()) return "a label needs a tag";
  if (label.sown_on && !is_day(*label.sown_on)) return "the sowing date on a label must be as in 2026-03-19";
  if (label.seeds_per_cell && (*label.seeds_per_cell < 1 || *label.seeds_per_cell > kMostSeedsPerCell))
    return "the seeds a cell on a label must be from 1 to 50";
  return nullptr;
}

}  // namespace

std::string label_text(const TrayLabel& label) {
  if (const char* fault = fault_of(label)) throw std::invalid_argument(fault);
  const std::string seeds = label.seeds_per_cell ? std::to_string(*label.seeds_per_cell) : "";
  std::string text = fmt::format("{}1|{}|{}|{}|{}|{}|{}", kName, escaped(label.tag),
                                 escaped(label.lot.value_or("")), escaped(label.crop.value_or("")),
                                 label.sown_on.value_or(""), seeds, escaped(label.tray.value_or("")));
  if (text.size() > kMostBytes)
    throw std::invalid_argument(fmt::format(
        "a label of {} bytes is too long to be read from a photo (at most {}); shorten the lot's name",
        text.size(), kMostBytes));
  return text;
}

std::optional<TrayLabel> read_label_text(const std::string& text) {
  if (!text.starts_with(kName)) return std::nullopt;
  const auto fields = split(std::string_view(text).substr(kName.size()));
  const auto version = whole(fields[0]);
  if (!version || *version < 1 || fields.size() < kFields) return std::nullopt;
  std::vector<std::string> plain;
  for (std::size_t at = 1; at < kFields; ++at) {
    const auto field = unescaped(fields[at]);
    if (!field) return std::nullopt;
    plain.push_back(*field);
  }
  TrayLabel label{plain[0], some(plain[1]), some(plain[2]), some(plain[3]), whole(plain[4]), some(plain[5])};
  if (!plain[4].empty() && !label.seeds_per_cell) return std::nullopt;
  if (fault_of(label)) return std::nullopt;
  return label;
}

}  // namespace braird
