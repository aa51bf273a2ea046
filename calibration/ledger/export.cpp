// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "calibration/hex.h"
#include "calibration/ledger/packing.h"
#include "calibration/ledger/rows.h"
#include "calibration/ledger/transfer.h"

namespace braird::ledger {
namespace {

std::string yes_no(bool yes) {
  return yes ? "yes" : "no";
}

std::string field_of(const Statement& row, int column) {
  return row.is_null(column) ? "" : row.text(column);
}

/// Tables whose fields stand in the ledger as they are written.
struct PlainTable {
  const char* name;
  std::vector<std::string> columns;
  const char* query;
};

const std::vector<PlainTable>& plain_tables() {
  static const std::vector<PlainTable> tables = {
      {"lots",
       {"lot", "crop", "variety", "supplier", "tested_on", "stated_percent", "treated"},
       "SELECT name, crop, variety, supplier, tested_on, stated_percent, CASE treated WHEN 1 THEN 'yes' WHEN "
       "0 THEN "
       "'no' END FROM lots ORDER BY id"},
      {"sowings",
       {"sowing", "lot", "sown_on", "rows", "cols", "lattice", "seeds_per_cell", "plate", "topping",
        "temperature_c"},
       "SELECT sowings.id, name, sown_on, rows, cols, CASE staggered WHEN 1 THEN 'staggered' ELSE 'square' "
       "END, "
       "seeds_per_cell, plate, topping, temperature_c FROM sowings JOIN lots ON lots.id = lot ORDER BY "
       "sowings.id"},
      {"trays", {"tray", "sowing", "tag"}, "SELECT id, sowing, tag FROM trays ORDER BY id"},
      {"photos",
       {"photo", "file", "width", "height", "taken", "remarks"},
       "SELECT lower(hex(hash)), file, width, height, taken, remarks FROM photos ORDER BY id"},
      {"checks",
       {"photo", "number", "row", "col", "seedlings", "drawn"},
       "SELECT lower(hex(hash)), number, cell / cols + 1, cell % cols + 1, seedlings, CASE drawn WHEN 1 THEN "
       "'yes' "
       "ELSE 'no' END FROM checks JOIN censuses ON censuses.id = census JOIN photos ON photos.id = photo "
       "JOIN trays ON "
       "trays.id = tray JOIN sowings ON sowings.id = sowing ORDER BY censuses.id, cell"},
      {"decisions",
       {"lot", "sowing", "tray", "decided_on", "words"},
       "SELECT name, sowing, tray, decided_on, words FROM decisions JOIN lots ON lots.id = lot ORDER BY "
       "decisions.id"}};
  return tables;
}

TextTable plain(const Database& file, const PlainTable& table) {
  TextTable text = {table.columns};
  Statement rows = file.prepare(table.query);
  while (rows.next()) {
    auto& fields = text.emplace_back();
    for (int at = 0; at < std::ssize(table.columns); ++at) fields.push_back(field_of(rows, at));
  }
  return text;
}

TextTable censuses(const Database& file) {
  TextTable text = {{"photo", "number", "tray", "by_label", "corners", "pitch_px", "fit", "seeds_in_view"}};
  Statement rows = file.prepare(
      "SELECT hash, number, tray, by_label, corners, pitch_px, fit, seeds_in_view FROM censuses "
      "JOIN photos ON photos.id = photo ORDER BY censuses.id");
  while (rows.next()) {
    std::string corners;
    for (const Point& corner : unpack_corners(rows.bytes(4)))
      corners += fmt::format("{}{} {}", corners.empty() ? "" : " ", corner.x, corner.y);
    text.push_back({hex_of(rows.bytes(0)), rows.text(1), rows.text(2), yes_no(rows.whole(3) == 1), corners,
                    fmt::format("{}", rows.number(5)), fmt::format("{}", rows.number(6)), field_of(rows, 7)});
  }
  return text;
}

std::string chances_of(const Cell& cell) {
  return fmt::format("{}", fmt::join(cell.probability, " "));
}

std::vector<std::string> cell_row(const std::string& photo, const std::string& number, const Cell& cell,
                                  const Cell* first) {
  return {photo,
          number,
          std::to_string(cell.row + 1),
          std::to_string(cell.col + 1),
          fmt::format("{}", cell.centre_px.x),
          fmt::format("{}", cell.centre_px.y),
          std::to_string(cell.count),
          chances_of(cell),
          yes_no(cell.review),
          cell.plant ? fmt::format("{} {}", cell.plant->x, cell.plant->y) : "",
          first ? std::to_string(first->count) : "",
          first ? chances_of(*first) : "",
          first ? yes_no(first->review) : ""};
}

/// The cells as they were read first.
std::vector<Cell> first_cells(const Bytes& counts, std::vector<Cell> cells) {
  unpack_counts(counts, cells);
  return cells;
}

TextTable cells(const Database& file) {
  TextTable text = {{"photo", "number", "row", "col", "x", "y", "count", "chances", "review", "plant",
                     "first_count", "first_chances", "first_review"}};
  Statement rows =
      file.prepare(fmt::format("SELECT {} FROM {} ORDER BY censuses.id", kCensusColumns, kCensusTables));
  while (rows.next()) {
    const KeptCensus census = census_of_row(rows, file);
    const Bytes first_counts = rows.bytes(census_column::first_counts);
    const bool read_again = rows.bytes(census_column::counts) != first_counts;
    const std::vector<Cell>& cells = census.tray.cells;
    const std::vector<Cell> first = read_again ? first_cells(first_counts, cells) : std::vector<Cell>();
    for (std::size_t at = 0; at < cells.size(); ++at)
      text.push_back(cell_row(hex_of(census.hash), rows.text(census_column::number), cells[at],
                              read_again ? &first[at] : nullptr));
  }
  return text;
}

}  // namespace

const std::vector<std::string>& table_names() {
  static const std::vector<std::string> names = {"lots",     "sowings", "trays",  "photos",
                                                 "censuses", "cells",   "checks", "decisions"};
  return names;
}

TextTable export_table(const Ledger& ledger, const std::string& name) {
  if (name == "censuses") return censuses(ledger.file());
  if (name == "cells") return cells(ledger.file());
  for (const PlainTable& table : plain_tables())
    if (name == table.name) return plain(ledger.file(), table);
  throw std::invalid_argument("the ledger has no table " + name);
}

}  // namespace braird::ledger
