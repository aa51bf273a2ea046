// SPDX-License-Identifier: Apache-2.0
#include "cli/tray_labels.h"

#include <fmt/format.h>

#include <charconv>

#include "cli/dates.h"

namespace braird::cli {
namespace {

template <typename Value>
void fill(std::optional<Value>& gap, const std::optional<Value>& known) {
  if (!gap) gap = known;
}

void fill_from(TrayLabel& label, const TrayLabel& known) {
  fill(label.lot, known.lot);
  fill(label.crop, known.crop);
  fill(label.sown_on, known.sown_on);
  fill(label.seeds_per_cell, known.seeds_per_cell);
  fill(label.tray, known.tray);
}

}  // namespace

std::optional<Layout> layout_on_label(const std::string& text) {
  if (const TrayProfile* known = find_tray(built_in_profiles(), text)) return known->layout;
  Layout layout;
  const char *at = text.data(), *end = at + text.size();
  const auto rows = std::from_chars(at, end, layout.rows);
  if (rows.ec != std::errc() || rows.ptr == end || *rows.ptr != 'x') return std::nullopt;
  const auto cols = std::from_chars(rows.ptr + 1, end, layout.cols);
  if (cols.ec != std::errc() || layout.rows < 1 || layout.cols < 1 || layout.rows > 100 || layout.cols > 100)
    return std::nullopt;
  const std::string rest(cols.ptr, end);
  if (rest == "s") layout.lattice = LatticeKind::staggered;
  return rest.empty() || rest == "s" ? std::optional(layout) : std::nullopt;
}

std::string label_words(const Layout& layout) {
  for (const TrayProfile& known : built_in_profiles().trays)
    if (known.layout.rows == layout.rows && known.layout.cols == layout.cols &&
        known.layout.lattice == layout.lattice)
      return known.name;
  return fmt::format("{}x{}{}", layout.rows, layout.cols,
                     layout.lattice == LatticeKind::staggered ? "s" : "");
}

std::vector<vision::SeenLabel> understood(std::vector<vision::SeenLabel> labels, const Keeper& keeper) {
  for (vision::SeenLabel& seen : labels) {
    TrayLabel& label = seen.label;
    if (keeper.ledger)
      if (const auto known = ledger::known_tray(*keeper.ledger, label.tag)) fill_from(label, *known);
    if (label.tray) seen.layout = layout_on_label(*label.tray);
    if (label.crop)
      if (const CropProfile* crop = find_crop(built_in_profiles(), *label.crop))
        seen.habit = habit_called(crop->habit);
  }
  return labels;
}

Order order_for(const Tray& tray, Order told) {
  if (!tray.label) return told;
  const TrayLabel& label = *tray.label;
  if (label.crop) {
    told.crop = find_crop(built_in_profiles(), *label.crop);
    told.crop_name = told.crop ? told.crop->name : *label.crop;
  }
  if (label.sown_on) told.sown = day_of(*label.sown_on);
  if (label.lot) told.lot = label.lot;
  return told;
}

}  // namespace braird::cli
