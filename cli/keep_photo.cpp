// SPDX-License-Identifier: Apache-2.0
#include "cli/keep_photo.h"

#include <fmt/format.h>

#include <chrono>

#include "calibration/figure_words.h"
#include "cli/compare_litter.h"
#include "cli/dates.h"
#include "cli/ledger_place.h"
#include "cli/read_again.h"
#include "cli/tray_labels.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kDayLetters = 10;  // of a time that starts with its day

std::string line_for(const std::string& subject, const ledger::KeptAs& kept, bool known_photo,
                     const ReadAgain& again) {
  std::string text =
      fmt::format("braird: {}{} in lot {}", subject, known_photo ? "corrected" : "kept", kept.lot);
  if (kept.tag) text += ", tray " + *kept.tag;
  if (kept.photos_of_tray > 1) text += fmt::format(", photo {} of this tray", kept.photos_of_tray);
  if (kept.across)
    text += fmt::format(", numbered as {} x {} like the trays before", kept.across->rows, kept.across->cols);
  else if (kept.turned)
    text += ", turned by half";
  if (again.earlier > 0)
    text += fmt::format(", {} read again", counted(again.earlier, "earlier photo", "earlier photos"));
  if (again.itself) text += ", read again as an earlier one";
  return text + "\n";
}

CountArguments filled(CountArguments arguments, const TrayLabel& known) {
  if (arguments.crop.empty()) arguments.crop = known.crop.value_or("");
  if (arguments.lot.empty()) arguments.lot = known.lot.value_or("");
  if (arguments.sown.empty()) arguments.sown = known.sown_on.value_or("");
  if (!arguments.seeds) arguments.seeds = known.seeds_per_cell;
  if (arguments.tray.empty() && arguments.lattice.empty())
    if (const auto layout = layout_on_label(known.tray.value_or(""))) {
      arguments.tray = fmt::format("{}x{}", layout->rows, layout->cols);
      arguments.lattice = name_of(layout->lattice);
      arguments.tray_told_by = known.tag.empty() ? "the ledger" : "tag " + known.tag;
    }
  return arguments;
}

/// What all trays of a photo have in common.
TrayLabel shared(const std::vector<TrayLabel>& trays) {
  TrayLabel all = trays.empty() ? TrayLabel{} : trays[0];
  for (const TrayLabel& tray : trays) {
    if (tray.lot != all.lot) all.lot.reset();
    if (tray.crop != all.crop) all.crop.reset();
    if (tray.sown_on != all.sown_on) all.sown_on.reset();
    if (tray.seeds_per_cell != all.seeds_per_cell) all.seeds_per_cell.reset();
    if (tray.tray != all.tray) all.tray.reset();
  }
  return all;
}

}  // namespace

Keeper keeper_for(const CountArguments& arguments) {
  if (!arguments.keep && !arguments.tag.empty())
    throw std::invalid_argument("--tag: names a tray of the ledger; say --keep too");
  if (arguments.as_before && arguments.tag.empty())
    throw std::invalid_argument("--as-before: says how a tagged tray lies; name it by --tag, too");
  if (!arguments.keep && !arguments.ledger.empty())
    throw std::invalid_argument("--ledger: says where counts are kept; say --keep too");
  if (!arguments.keep) return {};
  return {std::make_shared<ledger::Ledger>(ledger_place(arguments.ledger), ledger::Access::write),
          arguments.tag, arguments.as_before};
}

CountArguments arguments_with_tag(CountArguments arguments, const Keeper& keeper) {
  if (keeper.tag.empty()) return arguments;
  const auto known = ledger::known_tray(*keeper.ledger, keeper.tag);
  return known ? filled(std::move(arguments), *known) : arguments;
}

Order order_as_kept(const CountArguments& told, const Keeper& keeper, const fs::path& photo) try {
  const ledger::KnownPhoto known = ledger::known_photo(*keeper.ledger, ledger::content_hash(photo));
  CountArguments arguments = told;
  if (arguments.taken.empty()) arguments.taken = known.taken.value_or("").substr(0, kDayLetters);
  TrayLabel all = shared(known.trays);
  if (const auto crop = ledger::crop_of_lot(*keeper.ledger, arguments.lot)) all.crop = crop;
  return understand(filled(std::move(arguments), all), built_in_profiles());
} catch (const std::exception&) {  // the photo can't be read, which counting says
  return understand(told, built_in_profiles());
}

std::string keep_photo(Keeper& keeper, const fs::path& photo, const Census& census, const Order& order) {
  ledger::Told told;
  told.lot = order.lot;
  if (order.sown) told.sown_on = iso(*order.sown);
  if (!keeper.tag.empty()) told.tag = keeper.tag;
  told.as_before = keeper.as_before;
  Census placed = census;
  placed.photo.file = fs::absolute(photo).lexically_normal().string();
  told.compare = litter_comparison(photo, placed.photo);
  std::string undone = "counted, but not kept";
  try {
    const ledger::Bytes hash = ledger::content_hash(photo);
    const ledger::Keeping kept = ledger::keep(*keeper.ledger, hash, placed, told);
    undone = "kept, but earlier photos of its tray were not read again";
    const std::vector<ReadAgain> again = read_again(*keeper.ledger, hash);
    std::string text;
    for (std::size_t at = 0; at < kept.trays.size(); ++at) {
      std::string subject = photo.string() + ": ";
      if (kept.trays.size() > 1) subject += fmt::format("tray {} of {} ", at + 1, kept.trays.size());
      text += line_for(subject, kept.trays[at], kept.known_photo, again.at(at));
    }
    for (const std::string& remark : kept.remarks)
      text += fmt::format("braird: {}: {}\n", photo.string(), remark);
    return text;
  } catch (const std::exception& why) {
    throw std::runtime_error(fmt::format("{}: {}: {}", photo.string(), undone, why.what()));
  }
}

}  // namespace braird::cli
