// SPDX-License-Identifier: Apache-2.0
#include "cli/typed_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <stdexcept>

#include "calibration/letters.h"

namespace braird::cli {
namespace {

constexpr int kMostCellsASide = 100;
constexpr int kMostWhole = 100'000'000;

template <typename Number>
std::optional<Number> parsed(std::string_view text) {
  Number number = 0;
  const char* end = text.data() + text.size();
  const auto [stopped, trouble] = std::from_chars(text.data(), end, number);
  return trouble == std::errc() && stopped == end ? std::optional(number) : std::nullopt;
}

/// Two whole numbers with an x between.
std::optional<Layout> pair_of(std::string_view text) {
  const std::size_t x = text.find_first_of("xX");
  if (x == std::string_view::npos) return std::nullopt;
  const auto rows = whole_of(text.substr(0, x)), cols = whole_of(text.substr(x + 1));
  return rows && cols ? std::optional(Layout{*rows, *cols, {}}) : std::nullopt;
}

bool is_tray(const Layout& layout) {
  return std::min(layout.rows, layout.cols) >= 1 && std::max(layout.rows, layout.cols) <= kMostCellsASide;
}

}  // namespace

std::optional<double> number_of(std::string_view text) {
  const auto number = parsed<double>(text);
  return number && std::isfinite(*number) ? number : std::nullopt;
}

std::optional<int> whole_of(std::string_view text) {
  const auto number = parsed<int>(text);
  return number && std::abs(*number) <= kMostWhole ? number : std::nullopt;
}

std::optional<Layout> rows_by_cols(std::string_view text) {
  const auto layout = pair_of(text);
  return layout && is_tray(*layout) ? layout : std::nullopt;
}

std::optional<std::string> crop_name_of(const std::string& told) {
  if (told.empty()) return std::nullopt;
  const CropProfile* crop = find_crop(built_in_profiles(), told);
  return crop ? crop->name : told;
}

std::string unlisted_crop(const Profiles& profiles, const std::string& name) {
  const auto nearest = nearest_crop(profiles, name);
  return fmt::format("the crop \"{}\" is not in the list of crops{}", name,
                     nearest ? " (did you mean " + *nearest + "?)" : "");
}

std::string lot_called(std::string_view told) {
  constexpr std::size_t kMostBytes = 200;
  std::string name = lot_name(told);
  if (name.size() > kMostBytes || name.find_first_of("\t\r\n") != std::string::npos)
    throw std::invalid_argument(
        fmt::format("a lot's name is one line of {} letters at most; shorten it", kMostBytes));
  return name;
}

std::optional<Layout> shape_called(const std::string& text) {
  const auto layout = pair_of(text);
  if (layout && !is_tray(*layout))
    throw std::invalid_argument(
        fmt::format("--tray {}: rows and columns must be from 1 to {}", text, kMostCellsASide));
  return layout;
}

const TrayProfile& tray_called(const Profiles& profiles, const std::string& name) {
  if (const TrayProfile* tray = find_tray(profiles, name)) return *tray;
  const auto nearest = nearest_tray(profiles, name);
  throw std::invalid_argument(
      fmt::format("--tray {}: no known tray has this name{}; give its rows and columns, as in 8x16", name,
                  nearest ? " (did you mean " + *nearest + "?)" : ""));
}

std::optional<LatticeKind> lattice_called(const std::string& name) {
  if (name.empty()) return std::nullopt;
  for (LatticeKind kind : {LatticeKind::square, LatticeKind::staggered})
    if (name == name_of(kind)) return kind;
  throw std::invalid_argument(fmt::format("--lattice {}: must be square or staggered", name));
}

}  // namespace braird::cli
