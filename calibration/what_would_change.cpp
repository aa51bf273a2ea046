// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <limits>

#include "calibration/tray_options.h"

namespace braird {
namespace {

std::string told(OptionKind kind) {
  switch (kind) {
    case OptionKind::accept:
      return "leave them as they are";
    case OptionKind::wait:
      return "wait";
    case OptionKind::fill:
      return "fill gaps from spare plants";
    case OptionKind::resow_gaps:
      return "resow the gaps";
    case OptionKind::fresh_tray:
      return "sow a fresh tray";
  }
  return "";
}

int a_tenth(int need) {
  return need / 10 + (need % 10 > 0);
}

int a_tenth_more(int need) {
  constexpr int most = std::numeric_limits<int>::max();
  return need + std::min(a_tenth(need), most - need);
}

}  // namespace

std::vector<std::string> what_would_change(const Belief& belief, const OptionTerms& terms) {
  const OptionKind now = tray_options(belief, terms).options.front().kind;
  std::vector<std::string> changes;
  auto try_out = [&](const std::string& what, const std::function<void(OptionTerms&)>& change) {
    OptionTerms other = terms;
    change(other);
    const OptionKind then = tray_options(belief, other).options.front().kind;
    if (then != now) changes.push_back(fmt::format("{}, it would be best to {}.", what, told(then)));
  };
  try_out("If work cost twice as much", [](auto& t) { t.batch.economy.hour_price *= 2; });
  try_out("If work cost half as much", [](auto& t) { t.batch.economy.hour_price /= 2; });
  try_out("If a missing cell cost you twice as much", [](auto& t) { t.batch.economy.full_cell_worth *= 2; });
  try_out("If a missing cell cost you half as much", [](auto& t) { t.batch.economy.full_cell_worth /= 2; });
  try_out("If you needed a tenth fewer cells",
          [](auto& t) { t.need = std::max(1, t.need - a_tenth(t.need)); });
  try_out("If you needed a tenth more cells", [](auto& t) { t.need = a_tenth_more(t.need); });
  if (terms.days_to_planting)
    try_out("If you planted a fortnight later", [](auto& t) { *t.days_to_planting += 14; });
  return changes;
}

}  // namespace braird
