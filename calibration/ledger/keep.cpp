// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/keep.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "calibration/figure_words.h"
#include "calibration/ledger/census_key.h"
#include "calibration/ledger/former.h"
#include "calibration/ledger/misspelt_lot.h"
#include "calibration/ledger/rows.h"
#include "calibration/ledger/write_census.h"

namespace braird::ledger {
namespace {

/// What this photo's tray is known as.
struct Identity {
  std::string lot;
  std::optional<std::string> crop, tag;
  SowingFacts sowing;
};

template <typename Value>
std::optional<Value> first_of(std::initializer_list<std::optional<Value>> values) {
  for (const auto& value : values)
    if (value) return value;
  return std::nullopt;
}

/// What isn't told stays as it was known of the photo before.
Identity identity_of(const Ledger& ledger, const Tray& tray, const Told& told, const TrayLabel& was) {
  const TrayLabel label = tray.label.value_or(TrayLabel{});
  const auto told_tag = tray.label ? std::optional(label.tag) : told.tag;
  const TrayLabel known = (told_tag ? known_tray(ledger, *told_tag) : std::nullopt).value_or(TrayLabel{});
  Identity of;
  of.tag = told_tag || was.tag.empty() ? told_tag : std::optional(was.tag);
  if (!known.tag.empty()) of.tag = known.tag;
  const auto lot = first_of({label.lot, told.lot, known.lot, was.lot});
  of.crop = first_of({label.crop, tray.crop, known.crop, lot ? crop_of_lot(ledger, *lot) : lot, was.crop});
  of.lot = first_of({lot, of.crop}).value_or(kUnnamed);
  if (const auto as_kept = known_lot(ledger.file(), of.lot)) of.lot = as_kept->name;
  of.sowing.sown_on = first_of({label.sown_on, told.sown_on, known.sown_on, was.sown_on});
  of.sowing.layout = tray.layout;
  of.sowing.seeds_per_cell =
      first_of({label.seeds_per_cell, tray.seeds_per_cell, known.seeds_per_cell, was.seeds_per_cell});
  return of;
}

/// What is told otherwise than the ledger has it, and what becomes of it.
std::vector<std::string> told_otherwise(const Database& file, std::int64_t lot, const Identity& of,
                                        const std::optional<TaggedTray>& was) {
  std::vector<std::string> remarks;
  Statement known = file.prepare("SELECT name, crop FROM lots WHERE id = ?");
  known.bind(lot);
  if (known.next() && of.crop && known.text(1) != *of.crop)
    remarks.push_back(fmt::format(
        "lot {0} stays {1} in the ledger, though {2} is told here; braird note \"{0}\" --crop {2} "
        "changes it",
        known.text(0), known.text(1), *of.crop));
  if (was && was->at.lot != lot) {
    Statement former = file.prepare("SELECT name FROM lots WHERE id = ?");
    former.bind(was->at.lot);
    former.next();
    remarks.push_back(fmt::format("tray {} was one of lot {}; it and its photos now are lot {}'s", was->tag,
                                  former.text(0), known.text(0)));
  }
  return remarks;
}

/// Does the tray of that tag, or what other photos show of its sowing, or else of its lot, stand in the ledger
/// with rows for columns, and none as seen? A label numbers its cells itself.
bool stands_across(const Database& file, std::int64_t lot, const Identity& of, const Tray& seen,
                   const std::optional<TaggedTray>& tagged, std::int64_t photo) {
  const Layout across{seen.layout.cols, seen.layout.rows, seen.layout.lattice};
  if (seen.label || across == seen.layout || across.lattice != LatticeKind::square) return false;
  if (tagged) return tagged->layout == across;
  Statement shapes = file.prepare(
      "SELECT rows = ?3 FROM sowings JOIN trays ON sowing = sowings.id JOIN censuses ON tray = trays.id "
      "WHERE lot = ?1 AND photo <> ?5 AND NOT staggered "
      "AND ((rows = ?3 AND cols = ?4) OR (rows = ?4 AND cols = ?3)) "
      "ORDER BY ifnull(sown_on, '') = ?2 DESC, rows = ?4 DESC LIMIT 1");
  shapes.bind(lot, of.sowing.sown_on.value_or(""), across.rows, across.cols, photo);
  return shapes.next() && shapes.whole(0) == 1;
}

std::string joined(const std::vector<std::string>& lines) {
  return fmt::format("{}", fmt::join(lines, "\n"));
}

/// By a label beside it.
bool shows(const Database& file, const Census& census, std::int64_t tray) {
  return std::ranges::any_of(census.trays, [&](const Tray& seen) {
    const auto tagged = seen.label ? tray_tagged(file, seen.label->tag) : std::nullopt;
    return tagged && tagged->at.tray == tray;
  });
}

std::string words_for(const Layout& layout) {
  return fmt::format("{}x{}{}", layout.rows, layout.cols,
                     layout.lattice == LatticeKind::staggered ? "s" : "");
}

}  // namespace

std::optional<TrayLabel> known_tray(const Ledger& ledger, const std::string& tag) {
  const auto tray = tray_tagged(ledger.file(), tag);
  if (!tray) return std::nullopt;
  Statement row = ledger.file().prepare(
      "SELECT name, crop, sown_on, seeds_per_cell FROM sowings JOIN lots ON lots.id = lot WHERE sowings.id = "
      "?");
  row.bind(tray->at.sowing);
  row.next();
  TrayLabel label{tray->tag,         row.text(0),  row.maybe_text(1),
                  row.maybe_text(2), std::nullopt, words_for(tray->layout)};
  if (const auto seeds = row.maybe_whole(3)) label.seeds_per_cell = static_cast<int>(*seeds);
  return label;
}

KnownPhoto known_photo(const Ledger& ledger, const Bytes& hash) {
  Statement row = ledger.file().prepare("SELECT taken, id FROM photos WHERE hash = ?");
  row.bind(BlobView{hash});
  if (!row.next()) return {};
  KnownPhoto known{row.maybe_text(0), {}};
  for (const Former& former : former_censuses(ledger.file(), row.whole(1))) {
    known.trays.push_back(former.known);
    known.trays.back().tray = words_for(former.layout);
  }
  return known;
}

std::optional<std::string> crop_of_lot(const Ledger& ledger, const std::string& lot) {
  const auto known = known_lot(ledger.file(), lot);
  return known ? known->crop : std::nullopt;
}

namespace {

/// One photo on its way into the ledger.
struct Keeper {
  Ledger& ledger;
  const Told& told;
  std::int64_t photo;
  std::vector<Former> former;
  std::vector<std::int64_t> taken{};                      // trays of this photo
  std::vector<std::pair<Standing, std::int64_t>> left{};  // where trays stood, and their sowing now
  Keeping keeping{};

  void keep_tray(std::size_t number, const Tray& shown) {
    const Database& file = ledger.file();
    const Former* was = number < former.size() ? &former[number] : nullptr;
    Identity of = identity_of(ledger, shown, told, was ? was->known : TrayLabel{});
    ask_whether_new(of.lot);
    const std::int64_t lot = lot_row(file, of.lot, of.crop);
    const auto tagged = of.tag ? tray_tagged(file, *of.tag) : std::nullopt;
    const bool across = stands_across(file, lot, of, shown, tagged, photo);
    const Tray tray = across ? quarter_turned(shown) : shown;
    of.sowing.layout = tray.layout;
    const std::int64_t sowing = sowing_row(file, lot, of.sowing);
    for (std::string& remark : told_otherwise(file, lot, of, tagged))
      if (std::ranges::count(keeping.remarks, remark) == 0) keeping.remarks.push_back(std::move(remark));
    if (tagged) left.emplace_back(tagged->at, sowing);
    if (was) left.emplace_back(was->at, sowing);
    const SeenTray seen{sowing, photo, tray, told.compare,
                        was ? std::optional(stood(*was, tray)) : std::nullopt};
    const Place place = of.tag ? place_of_tagged(file, *of.tag, seen, taken, told.as_before)
                               : place_of_untagged(file, seen, taken);
    if (std::ranges::count(taken, place.tray) > 0)
      throw std::invalid_argument("two trays of this photo carry the same tag; keep one photo a tray");
    const std::int64_t dropped = write_census(
        file, {photo, static_cast<std::int64_t>(number), place.tray, tray.label.has_value()}, place.census);
    if (dropped > 0)
      keeping.remarks.push_back(fmt::format(
          "{} dropped, since the cells now lie elsewhere in the photo; count again with braird check",
          counted(static_cast<double>(dropped), "hand count of it was", "hand counts of it were")));
    if (was && !was->known.tag.empty() && was->at.tray != place.tray && !was->alone)
      keeping.remarks.push_back(
          fmt::format("tray {0}, which it was one of, keeps its other photos; keep those with --tag {1}, "
                      "too, if {0} was wrong",
                      was->known.tag, of.tag.value_or("")));
    taken.push_back(place.tray);
    report(of, place, across);
  }

  void ask_whether_new(const std::string& lot) {
    if (!former.empty() || known_lot(ledger.file(), lot)) return;
    if (const auto meant = lot_spelt_like(ledger.file(), lot))
      keeping.remarks.push_back(fmt::format(
          "lot {} is new; if {} was meant, keep the photo again with --lot \"{}\"", lot, *meant, *meant));
  }

  void report(const Identity& of, const Place& place, bool across) {
    Statement photos = ledger.file().prepare("SELECT count(*) FROM censuses WHERE tray = ?");
    photos.bind(place.tray);
    photos.next();
    keeping.trays.push_back({of.lot, of.tag, static_cast<std::size_t>(photos.whole(0)), place.turned,
                             across ? std::optional(place.census.layout) : std::nullopt});
  }

  void clear(std::size_t trays_now) {
    const Database& file = ledger.file();
    file.prepare("DELETE FROM censuses WHERE photo = ? AND number >= ?")
        .bind(photo, static_cast<std::int64_t>(trays_now))
        .run();
    for (const auto& [at, sowing_now] : left) clear_leftovers(file, at, sowing_now);
    for (const Former& was : former) clear_leftovers(file, was.at);
  }
};

}  // namespace

Keeping keep(Ledger& ledger, const Bytes& hash, const Census& census, const Told& told) {
  if (told.tag && census.trays.size() > 1)
    throw std::invalid_argument("a tag names one tray, but this photo shows several; put labels beside them");
  Keeping keeping;
  ledger.step("kept " + census.photo.file, [&] {
    const bool known = knows_photo(ledger, hash);
    const std::int64_t photo = photo_row(ledger.file(), hash, census.photo, joined(census.remarks));
    Keeper keeper{ledger, told, photo, former_censuses(ledger.file(), photo)};
    for (Former& was : keeper.former)
      if (shows(ledger.file(), census, was.at.tray))
        was.known = {};  // that tray may have another number by now
    for (std::size_t number = 0; number < census.trays.size(); ++number)
      keeper.keep_tray(number, census.trays[number]);
    keeper.clear(census.trays.size());
    keeping = std::move(keeper.keeping);
    keeping.known_photo = known;
  });
  return keeping;
}

}  // namespace braird::ledger
