// SPDX-License-Identifier: Apache-2.0
#include "cli/text/method_words.h"

#include <fmt/format.h>

#include <utility>

namespace braird::cli {
namespace {

// As calibration calls them; the first that fits.
constexpr std::pair<const char*, const char*> kClusters[] = {
    {", cells and trays as clusters", "trays that differ"},
    {", trays as clusters", "trays that differ"},
    {", cells as clusters", "seeds of a {} that fail together"}};
constexpr const char* kDoubt = ", with the counter's doubt";

bool cut(std::string& text, const char* part) {
  const std::size_t at = text.find(part);
  if (at == std::string::npos) return false;
  text.erase(at, std::string(part).size());
  return true;
}

}  // namespace

std::string method_words(const std::string& method, const std::string& unit) {
  std::string name = method, allows;
  if (!method.starts_with("Wilson")) return "(" + method + ")";
  for (const auto& [part, words] : kClusters)
    if (allows.empty() && cut(name, part) && !unit.empty()) allows = fmt::format(fmt::runtime(words), unit);
  if (cut(name, kDoubt)) allows += allows.empty() ? "miscounts" : " and for miscounts";
  return allows.empty() ? "(" + name + ")" : fmt::format("allows for {} ({})", allows, name);
}

}  // namespace braird::cli
