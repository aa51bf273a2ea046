// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/history.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "calibration/cells.h"
#include "calibration/ledger/packing.h"
#include "calibration/ledger/rows.h"
#include "calibration/profiles.h"

namespace braird::ledger {
namespace {

std::optional<int> as_int(const std::optional<std::int64_t>& value) {
  return value ? std::optional(static_cast<int>(*value)) : std::nullopt;
}

LotFacts facts_of_lot(const Statement& row) {
  LotFacts facts{row.text(1),       row.maybe_text(2),   row.maybe_text(3), row.maybe_text(4),
                 row.maybe_text(5), row.maybe_number(6), std::nullopt};
  if (const auto treated = row.maybe_whole(7)) facts.treated = *treated == 1;
  return facts;
}

KeptSowing sowing_of_row(const Statement& row) {
  KeptSowing sowing;
  sowing.id = row.whole(0);
  sowing.facts = {row.maybe_text(1),
                  {static_cast<int>(row.whole(2)), static_cast<int>(row.whole(3)),
                   row.whole(4) == 1 ? LatticeKind::staggered : LatticeKind::square},
                  as_int(row.maybe_whole(5)),
                  row.maybe_text(6),
                  row.maybe_text(7),
                  row.maybe_number(8)};
  return sowing;
}

std::vector<KeptSowing> sowings_of(const Database& file, std::int64_t lot, const Filter& filter) {
  Statement rows = file.prepare(
      "SELECT id, sown_on, rows, cols, staggered, seeds_per_cell, plate, topping, temperature_c FROM sowings "
      "WHERE lot = ?1 AND (?2 IS NULL OR sown_on >= ?2) AND (?3 IS NULL OR sown_on <= ?3) ORDER BY sown_on, "
      "id");
  rows.bind(lot, filter.since, filter.until);
  std::vector<KeptSowing> sowings;
  while (rows.next()) sowings.push_back(sowing_of_row(rows));
  return sowings;
}

void read_trays(const Database& file, KeptSowing& sowing) {
  Statement trays = file.prepare("SELECT id, tag FROM trays WHERE sowing = ? ORDER BY id");
  trays.bind(sowing.id);
  while (trays.next()) sowing.trays.push_back({trays.whole(0), trays.maybe_text(1), {}});
  Statement rows = file.prepare(
      fmt::format("SELECT {} FROM {} WHERE trays.sowing = ? ORDER BY trays.id, photos.taken, censuses.id",
                  kCensusColumns, kCensusTables));
  rows.bind(sowing.id);
  auto tray = sowing.trays.begin();
  while (rows.next()) {
    while (tray->id != rows.whole(census_column::tray)) ++tray;
    tray->censuses.push_back(census_of_row(rows, file));
    add_checks(file, tray->censuses.back());
  }
}

std::vector<Decision> decisions_of(const Database& file, std::int64_t lot) {
  Statement rows = file.prepare(
      "SELECT decided_on, sown_on, tag, words FROM decisions "
      "LEFT JOIN sowings ON sowings.id = decisions.sowing LEFT JOIN trays ON trays.id = tray WHERE "
      "decisions.lot = ? ORDER BY decided_on, decisions.id");
  rows.bind(lot);
  std::vector<Decision> decisions;
  while (rows.next())
    decisions.push_back({rows.maybe_text(0), rows.maybe_text(1), rows.maybe_text(2), rows.text(3)});
  return decisions;
}

/// Throws std::invalid_argument if there is no such lot; it then names the nearest one.
std::int64_t lot_id(const Ledger& ledger, const std::string& name) {
  if (const auto known = known_lot(ledger.file(), name)) return known->id;
  Statement some =
      ledger.file().prepare("SELECT name FROM lots ORDER BY instr(lower(name), lower(?)) = 0, name LIMIT 3");
  some.bind(name);
  std::string known;
  while (some.next()) known += (known.empty() ? "" : ", ") + some.text(0);
  throw std::invalid_argument(fmt::format("the ledger knows no lot \"{}\"{}", name,
                                          known.empty() ? "; it holds none yet" : "; it knows " + known));
}

}  // namespace

std::vector<std::string> lot_names(const Ledger& ledger, const Filter& filter) {
  Statement rows = ledger.file().prepare(
      "SELECT name FROM lots WHERE (?1 IS NULL OR crop = ?1) AND ((?2 IS NULL AND ?3 IS NULL) OR EXISTS "
      "(SELECT 1 FROM sowings WHERE lot = lots.id AND (?2 IS NULL OR sown_on >= ?2) AND (?3 IS NULL OR "
      "sown_on <= ?3))) ORDER BY name");
  rows.bind(filter.crop, filter.since, filter.until);
  std::vector<std::string> names;
  while (rows.next()) names.push_back(rows.text(0));
  return names;
}

KeptLot read_lot(const Ledger& ledger, const std::string& name, const Filter& filter) {
  const Database& file = ledger.file();
  Statement row = file.prepare(
      "SELECT id, name, crop, variety, supplier, tested_on, stated_percent, treated FROM lots WHERE id = ?");
  row.bind(lot_id(ledger, name));
  row.next();
  KeptLot lot;
  lot.id = row.whole(0);
  lot.facts = facts_of_lot(row);
  lot.sowings = sowings_of(file, lot.id, filter);
  for (KeptSowing& sowing : lot.sowings) read_trays(file, sowing);
  lot.decisions = decisions_of(file, lot.id);
  return lot;
}

std::vector<CheckedReading> counter_checks(const Ledger& ledger, const CheckedKind& kind) {
  const Database& file = ledger.file();
  Statement rows =
      file.prepare(fmt::format("SELECT {} FROM {} WHERE censuses.id IN (SELECT census FROM checks WHERE "
                               "drawn = 1) AND lots.crop IS ?1 "
                               "AND rows = ?2 AND cols = ?3 AND staggered = ?4 AND seeds_per_cell IS ?5",
                               kCensusColumns, kCensusTables));
  rows.bind(kind.crop, kind.layout.rows, kind.layout.cols,
            kind.layout.lattice == LatticeKind::staggered ? 1 : 0, kind.seeds_per_cell);
  const int seeds = kind.seeds_per_cell.value_or(1);
  std::vector<CheckedReading> found;
  while (rows.next()) {
    KeptCensus census = census_of_row(rows, file);
    unpack_counts(rows.bytes(census_column::first_counts), census.tray.cells);
    const auto readings = cell_readings(census.tray, seeds);
    const double most = most_seedlings(seed_kind(census.tray.crop), seeds);
    add_checks(file, census);
    for (const HandCheck& check : census.checks)
      if (check.drawn)
        found.push_back(
            {readings.at(static_cast<std::size_t>(check.cell)), std::min<double>(check.seedlings, most)});
  }
  return found;
}

}  // namespace braird::ledger
