// SPDX-License-Identifier: Apache-2.0
#include "cli/advice_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "cli/typed_words.h"

namespace braird::cli {
namespace {

constexpr int kMostCells = 10000;

[[noreturn]] void reject(const std::string& sentence) {
  throw std::invalid_argument(sentence);
}

}  // namespace

std::optional<int> cells_of_tray(const std::string& text) {
  if (text.empty()) return std::nullopt;
  if (const auto cells = whole_of(text)) {
    if (*cells < 1 || *cells > kMostCells)
      reject(fmt::format("--tray {}: must have from 1 to {} cells", text, kMostCells));
    return cells;
  }
  const auto shape = shape_called(text);
  const Layout layout = shape ? *shape : tray_called(built_in_profiles(), text).layout;
  return layout.rows * layout.cols;
}

std::optional<Wanted> wanted_of(const std::string& text) {
  if (text.empty()) return std::nullopt;
  const auto dash = text.find('-');
  const auto low = whole_of(text.substr(0, dash)),
             high = dash == std::string::npos ? low : whole_of(text.substr(dash + 1));
  if (!low || !high || *low < 1 || *high < *low || *high > 100)
    reject("--wanted " + text + ": must be a number of plants, or a range as in 3-5");
  if (*low > kMostSeedsPerCell)
    reject(fmt::format("--wanted {}: no more than {} seeds are sown a cell", text, kMostSeedsPerCell));
  return Wanted{*low, *high};
}

std::optional<int> need_of(const AdviseArguments& typed) {
  if (typed.cells && typed.bed_m) reject("--cells and --bed say the same thing twice; leave one out");
  const bool shaped = typed.rows || typed.spacing_cm || typed.every || typed.beds;
  if (typed.cells && shaped)
    reject("--rows, --spacing, --every and --beds go with --bed; with --cells leave them out");
  if (typed.cells) return typed.cells;
  if (!typed.bed_m && shaped) reject("tell the length of the bed too: --bed METRES");
  if (!typed.bed_m) return std::nullopt;
  if (!typed.spacing_cm) reject("tell the spacing in the row too: --spacing CENTIMETRES");
  try {
    return cells_of({typed.beds.value_or(1), typed.rows.value_or(1), *typed.bed_m, *typed.spacing_cm,
                     typed.every.value_or(1)});
  } catch (const std::invalid_argument& why) {
    reject(fmt::format("--bed {}: {}", *typed.bed_m, why.what()));
  }
}

Pack pack_of(const std::string& typed) {
  const std::string text = typed.substr(std::min(typed.find_first_not_of(' '), typed.size()));
  const auto colon = text.find(':');
  const auto seeds = whole_of(text.substr(0, colon));
  const auto price = colon == std::string::npos ? 0. : number_of(text.substr(colon + 1));
  if (!seeds || *seeds < 1 || !price || *price < 0)
    reject("--packs " + text + ": must be seeds, or seeds and price, as in 500 or 500:3.20");
  return {static_cast<double>(*seeds), *price};
}

}  // namespace braird::cli
