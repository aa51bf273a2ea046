// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "calibration/ledger/import_rows.h"
#include "calibration/ledger/notes.h"
#include "calibration/ledger/rows.h"
#include "calibration/letters.h"
#include "calibration/limits.h"

namespace braird::ledger {
namespace {

std::int64_t lot_called(const Database& file, const std::string& name) {
  const auto lot = known_lot(file, lot_name(name));
  if (!lot) refuse(fmt::format("the lot \"{}\" is not in lots", name));
  return lot->id;
}

std::int64_t row_numbered(const std::map<int, std::int64_t>& rows, int number, const char* what) {
  const auto found = rows.find(number);
  if (found == rows.end()) refuse(fmt::format("{} {} is not in {}s", what, number, what));
  return found->second;
}

/// Gives a new row the number it has in the tables, where that is free.
std::int64_t numbered(const Database& file, const char* table, std::int64_t id, int number) {
  file
      .prepare(fmt::format(
          "UPDATE {0} SET id = ?1 WHERE id = ?2 AND NOT EXISTS (SELECT 1 FROM {0} WHERE id = ?1)", table))
      .bind(number, id)
      .run();
  Statement moved = file.prepare(fmt::format("SELECT 1 FROM {} WHERE id = ?", table));
  moved.bind(id);
  return moved.next() ? id : number;
}

std::int64_t new_sowing(const Database& file, std::int64_t lot, const SowingFacts& facts,
                        const std::optional<int>& number) {
  const std::int64_t before = file.single("SELECT count(*) FROM sowings"), id = sowing_row(file, lot, facts);
  const bool fresh = file.single("SELECT count(*) FROM sowings") > before;
  return fresh && number ? numbered(file, "sowings", id, *number) : id;
}

std::string words_for_sowing(const Database& file, std::int64_t sowing) {
  Statement row = file.prepare(
      "SELECT name, ifnull(sown_on, 'an unknown day'), rows, cols, iif(staggered, ' staggered', ''), "
      "ifnull(seeds_per_cell, 'unknown') FROM sowings JOIN lots ON lots.id = lot WHERE sowings.id = ?");
  row.bind(sowing);
  row.next();
  return fmt::format("lot {} (sown on {}, {} x {}{} cells, seeds a cell: {})", row.text(0), row.text(1),
                     row.whole(2), row.whole(3), row.text(4), row.text(5));
}

bool shows_tray(const Database& file, const Bytes& photo, std::int64_t tray) {
  Statement row =
      file.prepare("SELECT 1 FROM censuses JOIN photos ON photos.id = photo WHERE hash = ? AND tray = ?");
  row.bind(BlobView{photo}, tray);
  return row.next();
}

/// The tray that has this tag; 0 if there is none. Ledgers number their tags alike, so the same tag in
/// another sowing is another tray, unless a photo shows that it is not.
std::int64_t tray_of_sowing(Importing& into, const std::string& tag, int number, std::int64_t sowing) {
  const auto known = tray_tagged(into.file, tag);
  if (!known) return 0;
  if (known->at.sowing == sowing) return known->at.tray;
  const bool same = std::ranges::any_of(into.photos_of_tray[number], [&](const Bytes& photo) {
    return shows_tray(into.file, photo, known->at.tray);
  });
  if (!same || !fits(into.file, known->at, sowing))
    refuse(
        fmt::format("tag {} is that of a tray of {} in the ledger, but of {} in the table; import into a "
                    "ledger of its own, or change the tag in the table",
                    tag, words_for_sowing(into.file, known->at.sowing), words_for_sowing(into.file, sowing)));
  move_tray(into.file, known->at.tray, sowing);
  into.left.emplace_back(known->at, sowing);
  return known->at.tray;
}

}  // namespace

std::int64_t made_tray(Importing& into, int number) {
  return numbered(into.file, "trays", new_tray(into.file, into.sowing_of_tray.at(number), std::nullopt),
                  number);
}

void take_lot(Importing& into, const Row& row) {
  const LotFacts facts{
      row.text("lot"),         row.maybe("crop"),          row.maybe("variety"),
      row.maybe("supplier"),   row.maybe_day("tested_on"), row.maybe_number("stated_percent"),
      row.maybe_yes("treated")};
  require_possible(facts.stated_percent, std::nullopt);
  put_lot_facts(into.file, lot_row(into.file, facts.name, facts.crop), facts);
}

void take_sowing(Importing& into, const Row& row) {
  const std::string lattice = row.maybe("lattice").value_or("square");
  if (lattice != "square" && lattice != "staggered")
    refuse("lattice is \"" + lattice + "\", but must be square or staggered");
  SowingFacts facts{row.maybe_day("sown_on"),
                    {row.whole("rows", 1, kMostRows), row.whole("cols", 1, kMostRows),
                     lattice == "square" ? LatticeKind::square : LatticeKind::staggered},
                    row.maybe_whole("seeds_per_cell", 1, kMostSeedsPerCell),
                    row.maybe("plate"),
                    row.maybe("topping"),
                    row.maybe_number("temperature_c")};
  require_possible(std::nullopt, facts.temperature_c);
  const auto number = row.maybe_whole("sowing", 1, kMostNumber);
  const std::int64_t id = new_sowing(into.file, lot_called(into.file, row.text("lot")), facts, number);
  put_sowing_facts(into.file, id, facts);
  if (number) into.sowing_of[*number] = id;
}

void take_tray(Importing& into, const Row& row) {
  const int number = row.whole("tray", 1, kMostNumber);
  const auto tag = row.maybe("tag");
  const std::int64_t sowing = row_numbered(into.sowing_of, row.whole("sowing", 1, kMostNumber), "sowing");
  into.tray_of[number] = tag ? tray_of_sowing(into, *tag, number, sowing) : 0;
  into.sowing_of_tray[number] = sowing;
  if (tag && into.tray_of[number] == 0)
    into.tray_of[number] = numbered(into.file, "trays", new_tray(into.file, sowing, tag), number);
}

void take_decision(Importing& into, const Row& row) {
  const auto sowing = row.maybe_whole("sowing", 0, kMostNumber),
             tray = row.maybe_whole("tray", 0, kMostNumber);
  const std::int64_t lot = lot_called(into.file, row.text("lot"));
  std::optional<std::int64_t> sowing_id, tray_id;
  if (sowing) sowing_id = row_numbered(into.sowing_of, *sowing, "sowing");
  if (tray) tray_id = row_numbered(into.tray_of, *tray, "tray");
  if (tray_id == 0) tray_id = into.tray_of[*tray] = made_tray(into, *tray);
  into.file
      .prepare(
          "INSERT INTO decisions (lot, sowing, tray, decided_on, words) SELECT ?1, ?2, ?3, ?4, ?5 WHERE "
          "NOT EXISTS "
          "(SELECT 1 FROM decisions WHERE lot = ?1 AND sowing IS ?2 AND tray IS ?3 AND decided_on IS ?4 "
          "AND words = "
          "?5)")
      .bind(lot, sowing_id, tray_id, row.maybe_day("decided_on"), row.text("words"))
      .run();
}

}  // namespace braird::ledger
