// SPDX-License-Identifier: Apache-2.0
#include "cli/tray_labels.h"

#include <fmt/format.h>

#include <vector>

#include "cli/dates.h"
#include "cli/typed_words.h"

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

/// Its name in the list of trays, else its rows and columns, with how it is said that they are staggered.
std::string called(const Layout& layout, const char* staggered) {
  for (const TrayProfile& known : built_in_profiles().trays)
    if (known.layout == layout) return known.name;
  return fmt::format("{}x{}{}", layout.rows, layout.cols,
                     layout.lattice == LatticeKind::staggered ? staggered : "");
}

}  // namespace

std::optional<Layout> layout_on_label(const std::string& text) {
  if (const TrayProfile* known = find_tray(built_in_profiles(), text)) return known->layout;
  const bool staggered = text.ends_with('s');
  auto layout = rows_by_cols(std::string_view(text).substr(0, text.size() - staggered));
  if (layout && staggered) layout->lattice = LatticeKind::staggered;
  return layout;
}

std::string label_words(const Layout& layout) {
  return called(layout, "s");
}

std::string tray_words(const Layout& layout) {
  return called(layout, " staggered");
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

std::vector<std::string> against_label(const Tray& tray, const Order& told) {
  if (!tray.label) return {};
  const TrayLabel& label = *tray.label;
  const Order own = order_for(tray, told);
  std::vector<std::string> followed;
  if (told.crop_name && told.crop_name != own.crop_name)
    followed.push_back(fmt::format("{}, not {}", *own.crop_name, *told.crop_name));
  if (const auto seeds = told.hints.seeds_per_cell; seeds && label.seeds_per_cell.value_or(*seeds) != *seeds)
    followed.push_back(fmt::format("{} a cell, not {}", *label.seeds_per_cell, *seeds));
  if (told.lot && told.lot != own.lot) followed.push_back(fmt::format("lot {}, not {}", *own.lot, *told.lot));
  if (told.sown && told.sown != own.sown)
    followed.push_back(fmt::format("sown {}, not {}", iso(*own.sown), iso(*told.sown)));
  if (told.hints.rows && told.hints.rows != tray.layout.rows)
    followed.push_back(fmt::format("{} rows, not {}", tray.layout.rows, *told.hints.rows));
  std::vector<std::string> remarks;
  if (!followed.empty())
    remarks.push_back(
        fmt::format("label {} was followed, not what was told: {}", label.tag, fmt::join(followed, "; ")));
  const auto layout = layout_on_label(label.tray.value_or(""));
  if (layout && label_words(*layout) != label_words(tray.layout))
    remarks.push_back(fmt::format("label {} says {}, but its tray has {} x {} cells, as was told", label.tag,
                                  *label.tray, tray.layout.rows, tray.layout.cols));
  return remarks;
}

}  // namespace braird::cli
