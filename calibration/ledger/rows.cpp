// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/rows.h"

#include <fmt/format.h>

#include <stdexcept>

#include "calibration/ledger/packing.h"
#include "calibration/letters.h"
#include "calibration/limits.h"

namespace braird::ledger {
namespace {

constexpr std::int64_t kMostInTray = 1'000'000;

int seeds_or_0(const std::optional<int>& seeds) {
  return seeds.value_or(0);
}

std::optional<std::int64_t> found(Statement& query) {
  return query.next() ? std::optional(query.whole(0)) : std::nullopt;
}

/// Does the sowing `to` of the same lot stand where `from` has no tray left?
bool is_heir(const Database& file, std::int64_t from, std::int64_t to) {
  Statement row = file.prepare(
      "SELECT 1 FROM sowings AS former JOIN sowings AS heir USING (lot) WHERE former.id = ?1 AND heir.id = "
      "?2 "
      "AND ?1 <> ?2 AND NOT EXISTS (SELECT 1 FROM trays WHERE sowing = ?1)");
  row.bind(from, to);
  return row.next();
}

void hand_on(const Database& file, std::int64_t from, std::int64_t to) {
  file.prepare(
          "UPDATE sowings SET plate = ifnull(sowings.plate, former.plate), topping = ifnull(sowings.topping, "
          "former.topping), temperature_c = ifnull(sowings.temperature_c, former.temperature_c) FROM sowings "
          "AS former WHERE former.id = ? AND sowings.id = ?")
      .bind(from, to)
      .run();
  file.prepare("UPDATE sowings SET plate = NULL, topping = NULL, temperature_c = NULL WHERE id = ?")
      .bind(from)
      .run();
  file.prepare(
          "DELETE FROM decisions AS former WHERE sowing = ?1 AND EXISTS (SELECT 1 FROM decisions AS known "
          "WHERE "
          "known.sowing = ?2 AND known.tray IS former.tray AND known.decided_on IS former.decided_on AND "
          "known.words = former.words)")
      .bind(from, to)
      .run();
  file.prepare("UPDATE decisions SET sowing = ?2 WHERE sowing = ?1").bind(from, to).run();
}

std::vector<Cell> empty_cells(const Layout& layout) {
  std::vector<Cell> cells(number_of_cells(layout));
  for (std::size_t at = 0; at < cells.size(); ++at) {
    cells[at].row = static_cast<int>(at) / layout.cols;
    cells[at].col = static_cast<int>(at) % layout.cols;
  }
  return cells;
}

Tray tray_of_row(const Statement& row) {
  Tray tray;
  tray.layout = layout_of_row(row, census_column::rows);
  tray.crop = row.maybe_text(census_column::crop);
  if (const auto seeds = row.maybe_whole(census_column::seeds))
    tray.seeds_per_cell = static_cast<int>(*seeds);
  tray.corners_px = unpack_corners(row.bytes(census_column::corners));
  tray.pitch_px = row.number(census_column::pitch);
  tray.fit = row.number(census_column::fit);
  tray.cells = empty_cells(tray.layout);
  unpack_counts(row.bytes(census_column::counts), tray.cells);
  unpack_places(row.bytes(census_column::places), tray.layout.cols, tray.cells);
  unpack_plants(row.bytes(census_column::plants), tray.cells);
  if (!row.is_null(census_column::seeds_in_view) && !has_any_up(tray))
    tray.seeds_in_view = row.number(census_column::seeds_in_view);
  return tray;
}

}  // namespace

std::optional<KnownLot> known_lot(const Database& file, const std::string& name) {
  Statement row =
      file.prepare("SELECT id, name, crop FROM lots WHERE name = ?1 COLLATE NOCASE ORDER BY name = ?1 DESC");
  row.bind(name);
  if (!row.next()) return std::nullopt;
  return KnownLot{row.whole(0), row.text(1), row.maybe_text(2)};
}

std::int64_t lot_row(const Database& file, const std::string& told, const std::optional<std::string>& crop) {
  const std::string name = lot_name(told);
  if (const auto known = known_lot(file, name)) {
    if (crop)
      file.prepare("UPDATE lots SET crop = ?1 WHERE id = ?2 AND crop IS NULL").bind(*crop, known->id).run();
    return known->id;
  }
  file.prepare("INSERT INTO lots (name, crop) VALUES (?, ?)").bind(name, crop).run();
  return file.last_id();
}

std::int64_t sowing_row(const Database& file, std::int64_t lot, const SowingFacts& facts) {
  const Layout& layout = facts.layout;
  const int staggered = layout.lattice == LatticeKind::staggered;
  Statement known = file.prepare(
      "SELECT id FROM sowings WHERE lot = ? AND ifnull(sown_on, '') = ? AND rows = ? AND cols = ? AND "
      "staggered = ? AND ifnull(seeds_per_cell, 0) = ?");
  if (const auto id = found(known.bind(lot, facts.sown_on.value_or(""), layout.rows, layout.cols, staggered,
                                       seeds_or_0(facts.seeds_per_cell))))
    return *id;
  file.prepare(
          "INSERT INTO sowings (lot, sown_on, rows, cols, staggered, seeds_per_cell, plate, topping, "
          "temperature_c) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)")
      .bind(lot, facts.sown_on, layout.rows, layout.cols, staggered, facts.seeds_per_cell, facts.plate,
            facts.topping, facts.temperature_c)
      .run();
  return file.last_id();
}

std::int64_t new_tray(const Database& file, std::int64_t sowing, const std::optional<std::string>& tag) {
  file.prepare("INSERT INTO trays (sowing, tag) VALUES (?, ?)").bind(sowing, tag).run();
  return file.last_id();
}

std::optional<TaggedTray> tray_tagged(const Database& file, const std::string& tag) {
  Statement row = file.prepare(
      "SELECT tag, trays.id, sowing, lot, rows, cols, staggered FROM trays JOIN sowings ON sowings.id = "
      "sowing WHERE tag = ?1 COLLATE NOCASE ORDER BY tag = ?1 DESC");
  row.bind(tag);
  if (!row.next()) return std::nullopt;
  return TaggedTray{row.text(0), {row.whole(1), row.whole(2), row.whole(3)}, layout_of_row(row, 4)};
}

bool fits(const Database& file, const Standing& at, std::int64_t sowing) {
  Statement row = file.prepare(
      "SELECT 1 FROM sowings AS here JOIN sowings AS there USING (rows, cols, staggered) WHERE here.id = ? "
      "AND there.id = ?");
  row.bind(at.sowing, sowing);
  return row.next();
}

void move_tray(const Database& file, std::int64_t tray, std::int64_t sowing) {
  file.prepare("UPDATE trays SET sowing = ?1 WHERE id = ?2 AND sowing <> ?1").bind(sowing, tray).run();
}

void put_lot_facts(const Database& file, std::int64_t lot, const LotFacts& facts) {
  std::optional<int> treated;
  if (facts.treated) treated = *facts.treated ? 1 : 0;
  file.prepare(
          "UPDATE lots SET crop = ifnull(?, crop), variety = ifnull(?, variety), supplier = ifnull(?, "
          "supplier), tested_on = ifnull(?, tested_on), stated_percent = ifnull(?, stated_percent), treated "
          "= ifnull(?, treated) WHERE id = ?")
      .bind(facts.crop, facts.variety, facts.supplier, facts.tested_on, facts.stated_percent, treated, lot)
      .run();
}

void put_sowing_facts(const Database& file, std::int64_t sowing, const SowingFacts& facts) {
  file.prepare(
          "UPDATE sowings SET plate = ifnull(?, plate), topping = ifnull(?, topping), temperature_c = "
          "ifnull(?, temperature_c) WHERE id = ?")
      .bind(facts.plate, facts.topping, facts.temperature_c, sowing)
      .run();
}

std::int64_t photo_row(const Database& file, const Bytes& hash, const PhotoFacts& photo,
                       const std::string& remarks) {
  Statement row = file.prepare(
      "INSERT INTO photos (hash, file, width, height, taken, remarks) VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT "
      "(hash) DO UPDATE SET file = excluded.file, width = excluded.width, height = excluded.height, taken = "
      "ifnull(excluded.taken, taken), remarks = excluded.remarks RETURNING id");
  row.bind(BlobView{hash}, photo.file, photo.width, photo.height, photo.taken, remarks);
  row.next();
  return row.whole(0);
}

void clear_leftovers(const Database& file, const Standing& at, std::int64_t sowing_now) {
  file.prepare(
          "DELETE FROM trays WHERE id = ?1 AND tag IS NULL AND NOT EXISTS "
          "(SELECT 1 FROM censuses WHERE tray = ?1) AND NOT EXISTS (SELECT 1 FROM decisions WHERE tray = ?1)")
      .bind(at.tray)
      .run();
  if (is_heir(file, at.sowing, sowing_now)) hand_on(file, at.sowing, sowing_now);
  file.prepare(
          "DELETE FROM sowings WHERE id = ?1 AND plate IS NULL AND topping IS NULL AND temperature_c IS NULL "
          "AND NOT EXISTS (SELECT 1 FROM trays WHERE sowing = ?1) AND NOT EXISTS "
          "(SELECT 1 FROM decisions WHERE sowing = ?1)")
      .bind(at.sowing)
      .run();
  file.prepare(
          "DELETE FROM lots WHERE id = ?1 AND variety IS NULL AND supplier IS NULL AND tested_on IS NULL "
          "AND stated_percent IS NULL AND treated IS NULL AND NOT EXISTS "
          "(SELECT 1 FROM sowings WHERE lot = ?1) AND NOT EXISTS (SELECT 1 FROM decisions WHERE lot = ?1)")
      .bind(at.lot)
      .run();
}

Layout layout_of_row(const Statement& row, int first) {
  const std::int64_t rows = row.whole(first), cols = row.whole(first + 1);
  if (rows < 1 || cols < 1 || rows > kMostInTray || cols > kMostInTray || rows * cols > kMostInTray)
    throw std::invalid_argument("its cells are damaged");
  return {static_cast<int>(rows), static_cast<int>(cols),
          row.whole(first + 2) == 1 ? LatticeKind::staggered : LatticeKind::square};
}

KeptCensus census_of_row(const Statement& row, const Database& file) {
  const std::string photo = row.text(census_column::file);
  try {
    return {row.whole(census_column::id),
            photo,
            row.bytes(census_column::hash),
            row.maybe_text(census_column::taken),
            tray_of_row(row),
            {}};
  } catch (const std::invalid_argument& why) {
    throw LedgerTrouble(
        fmt::format("the ledger {}: the census of {} cannot be read ({}); count the photo again with "
                    "--keep, or bring back a copy",
                    file.file().string(), photo, why.what()));
  }
}

void add_checks(const Database& file, KeptCensus& census) {
  Statement rows = file.prepare("SELECT cell, seedlings, drawn FROM checks WHERE census = ? ORDER BY cell");
  rows.bind(census.id);
  while (rows.next()) {
    const std::int64_t cell = rows.whole(0), seedlings = rows.whole(1);
    if (cell < 0 || cell >= std::ssize(census.tray.cells) || seedlings < 0 || seedlings > kMostSeedlings)
      throw LedgerTrouble(fmt::format("the ledger {}: the hand counts of {} are damaged; bring back a copy",
                                      file.file().string(), census.file));
    census.checks.push_back({static_cast<int>(cell), static_cast<int>(seedlings), rows.whole(2) == 1});
  }
}

}  // namespace braird::ledger
