// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <stdexcept>

#include "calibration/ledger/packing.h"
#include "calibration/ledger/rows.h"
#include "calibration/ledger/table_row.h"
#include "calibration/ledger/transfer.h"

namespace braird::ledger {
namespace {

constexpr int kMostCells = 1000, kMostPixels = 1'000'000, kMost = 2'000'000'000;

/// Carries rows over; remembers which number in the tables is which row here.
struct Importer {
  const Database& file;
  std::map<int, std::int64_t> sowing_of, tray_of;
  std::map<int, std::int64_t> sowing_of_tray;
  std::map<std::pair<std::string, int>, std::vector<Cell>> cells_of;

  std::int64_t lot_called(const std::string& name) const {
    Statement row = file.prepare("SELECT id FROM lots WHERE name = ?");
    row.bind(name);
    if (!row.next()) refuse(fmt::format("the lot \"{}\" is not in lots", name));
    return row.whole(0);
  }
  static std::int64_t at(const std::map<int, std::int64_t>& rows, int number, const char* what) {
    const auto found = rows.find(number);
    if (found == rows.end()) refuse(fmt::format("{} {} is not in {}s", what, number, what));
    return found->second;
  }

  /// Gives a new row the number it has in the tables, where that is free.
  std::int64_t numbered(const char* table, std::int64_t id, int number) const {
    file
        .prepare(fmt::format(
            "UPDATE {0} SET id = ?1 WHERE id = ?2 AND NOT EXISTS (SELECT 1 FROM {0} WHERE id = ?1)", table))
        .bind(number, id)
        .run();
    Statement moved = file.prepare(fmt::format("SELECT 1 FROM {} WHERE id = ?", table));
    moved.bind(id);
    return moved.next() ? id : number;
  }

  std::int64_t new_sowing(std::int64_t lot, const SowingFacts& facts,
                          const std::optional<int>& number) const {
    const std::int64_t before = file.single("SELECT count(*) FROM sowings"),
                       id = sowing_row(file, lot, facts);
    const bool fresh = file.single("SELECT count(*) FROM sowings") > before;
    return fresh && number ? numbered("sowings", id, *number) : id;
  }

  void lot(const Row& row) {
    const std::int64_t id = lot_row(file, row.text("lot"), row.maybe("crop"));
    std::optional<int> treated;
    if (const auto yes = row.maybe_yes("treated")) treated = *yes ? 1 : 0;
    file.prepare(
            "UPDATE lots SET variety = ifnull(?, variety), supplier = ifnull(?, supplier), tested_on = "
            "ifnull(?, "
            "tested_on), stated_percent = ifnull(?, stated_percent), treated = ifnull(?, treated) WHERE id = "
            "?")
        .bind(row.maybe("variety"), row.maybe("supplier"), row.maybe("tested_on"),
              row.maybe_number("stated_percent"), treated, id)
        .run();
  }

  void sowing(const Row& row) {
    const std::string lattice = row.maybe("lattice").value_or("square");
    if (lattice != "square" && lattice != "staggered")
      refuse("lattice is \"" + lattice + "\", but must be square or staggered");
    SowingFacts facts{row.maybe("sown_on"),
                      {row.whole("rows", 1, kMostCells), row.whole("cols", 1, kMostCells),
                       lattice == "square" ? LatticeKind::square : LatticeKind::staggered},
                      row.maybe_whole("seeds_per_cell", 1, 1000),
                      row.maybe("plate"),
                      row.maybe("topping"),
                      row.maybe_number("temperature_c")};
    const auto number = row.maybe_whole("sowing", 1, kMost);
    const std::int64_t id = new_sowing(lot_called(row.text("lot")), facts, number);
    file.prepare(
            "UPDATE sowings SET plate = ifnull(?, plate), topping = ifnull(?, topping), temperature_c = "
            "ifnull(?, "
            "temperature_c) WHERE id = ?")
        .bind(facts.plate, facts.topping, facts.temperature_c, id)
        .run();
    if (number) sowing_of[*number] = id;
  }

  /// A tray without a tag is known by its photos, so it is looked for when its first census comes.
  void tray(const Row& row) {
    const int number = row.whole("tray", 1, kMost);
    const auto tag = row.maybe("tag");
    const std::int64_t sowing = at(sowing_of, row.whole("sowing", 1, kMost), "sowing");
    Statement known = file.prepare("SELECT id FROM trays WHERE tag = ?");
    known.bind(tag);
    tray_of[number] = tag && known.next() ? known.whole(0) : 0;
    sowing_of_tray[number] = sowing;
    if (tag && tray_of[number] == 0) tray_of[number] = numbered("trays", new_tray(file, sowing, tag), number);
  }

  void photo(const Row& row) {
    file.prepare(
            "INSERT INTO photos (hash, file, width, height, taken, remarks) VALUES (?, ?, ?, ?, ?, ?) ON "
            "CONFLICT "
            "(hash) DO UPDATE SET file = excluded.file, taken = excluded.taken, remarks = excluded.remarks")
        .bind(BlobView{hash_of(row)}, row.text("file"), row.whole("width", 1, kMostPixels),
              row.whole("height", 1, kMostPixels), row.maybe("taken"), row.maybe("remarks").value_or(""))
        .run();
  }

  static Bytes hash_of(const Row& row) {
    const std::string hex = row.text("photo");
    if (hex.size() != 32 || hex.find_first_not_of("0123456789abcdef") != std::string::npos)
      refuse("photo must be 32 hexadecimal digits");
    Bytes bytes;
    for (std::size_t at = 0; at < hex.size(); at += 2)
      bytes += static_cast<char>(std::stoi(hex.substr(at, 2), nullptr, 16));
    return bytes;
  }

  void cell(const Row& row) {
    Cell cell;
    cell.row = row.whole("row", 1, kMostCells) - 1;
    cell.col = row.whole("col", 1, kMostCells) - 1;
    cell.centre_px = {row.number("x"), row.number("y")};
    cell.count = row.whole("count", 0, 1000);
    cell.probability = row.numbers("chances");
    for (const double chance : cell.probability)
      if (chance < 0 || chance > 1) refuse("chances must be from 0 to 1");
    cell.review = row.maybe_yes("review").value_or(false);
    const auto plant = row.numbers("plant");
    if (plant.size() == 2 && std::abs(plant[0]) <= 10 && std::abs(plant[1]) <= 10)
      cell.plant = Point{plant[0], plant[1]};
    else if (!plant.empty())
      refuse("plant must be two numbers, in cells");
    cells_of[{row.text("photo"), row.whole("number", 0, 1000)}].push_back(std::move(cell));
  }

  std::int64_t made_tray(int number) {
    return numbered("trays", new_tray(file, sowing_of_tray.at(number), std::nullopt), number);
  }

  std::int64_t tray_for_census(std::int64_t photo, int number, int tray) {
    auto found = tray_of.find(tray);
    if (found == tray_of.end()) refuse(fmt::format("tray {} is not in trays", tray));
    if (found->second != 0) return found->second;
    Statement known = file.prepare("SELECT tray FROM censuses WHERE photo = ? AND number = ?");
    known.bind(photo, number);
    found->second = known.next() ? known.whole(0) : made_tray(tray);
    return found->second;
  }

  const std::vector<Cell>& cells_for(const Row& row, std::int64_t tray) {
    Statement shape =
        file.prepare("SELECT rows, cols FROM trays JOIN sowings ON sowings.id = sowing WHERE trays.id = ?");
    shape.bind(tray);
    shape.next();
    auto& cells = cells_of[{row.text("photo"), row.whole("number", 0, 1000)}];
    const std::int64_t cols = shape.whole(1);
    std::ranges::sort(cells, {}, [&](const Cell& cell) { return cell.row * cols + cell.col; });
    if (std::ssize(cells) != shape.whole(0) * cols)
      refuse("cells does not hold every cell of this census once");
    for (std::int64_t place = 0; place < std::ssize(cells); ++place)
      if (const Cell& cell = cells[static_cast<std::size_t>(place)];
          cell.row * cols + cell.col != place || cell.col >= cols)
        refuse("cells does not hold every cell of this census once");
    return cells;
  }

  void census(const Row& row) {
    Statement photo = file.prepare("SELECT id FROM photos WHERE hash = ?");
    const Bytes hash = hash_of(row);
    photo.bind(BlobView{hash});
    if (!photo.next()) refuse("this photo is not in photos");
    const int number = row.whole("number", 0, 1000);
    const std::int64_t photo_id = photo.whole(0),
                       tray = tray_for_census(photo_id, number, row.whole("tray", 1, kMost));
    const auto corners = row.numbers("corners");
    if (corners.size() != 8) refuse("corners must be eight numbers");
    std::array<Point, 4> points;
    for (std::size_t at = 0; at < 4; ++at) points[at] = {corners[2 * at], corners[2 * at + 1]};
    const auto& cells = cells_for(row, tray);
    const int cols = 1 + std::ranges::max(cells, {}, &Cell::col).col;
    const Bytes corner_bytes = pack_corners(points), counts = pack_counts(cells),
                places = pack_places(cells, cols), plants = pack_plants(cells);
    file.prepare(
            "INSERT INTO censuses (photo, number, tray, by_label, corners, pitch_px, fit, counts, places, "
            "plants) "
            "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (photo, number) DO UPDATE SET tray = "
            "excluded.tray, "
            "by_label = excluded.by_label, corners = excluded.corners, pitch_px = excluded.pitch_px, fit = "
            "excluded.fit, counts = excluded.counts, places = excluded.places, plants = excluded.plants")
        .bind(photo_id, number, tray, row.maybe_yes("by_label").value_or(false) ? 1 : 0,
              BlobView{corner_bytes}, row.number("pitch_px"), row.number("fit"), BlobView{counts},
              BlobView{places}, BlobView{plants})
        .run();
  }

  void check(const Row& row) {
    Statement census = file.prepare(
        "SELECT censuses.id, rows, cols FROM censuses JOIN photos ON photos.id = photo JOIN trays ON "
        "trays.id = tray JOIN "
        "sowings ON sowings.id = sowing WHERE hash = ? AND number = ?");
    const Bytes hash = hash_of(row);
    census.bind(BlobView{hash}, row.whole("number", 0, 1000));
    if (!census.next()) refuse("this census is not in censuses");
    const int cols = static_cast<int>(census.whole(2));
    const int cell =
        (row.whole("row", 1, static_cast<int>(census.whole(1))) - 1) * cols + row.whole("col", 1, cols) - 1;
    file.prepare("INSERT OR REPLACE INTO checks (census, cell, seedlings, drawn) VALUES (?, ?, ?, ?)")
        .bind(census.whole(0), cell, row.whole("seedlings", 0, 1000),
              row.maybe_yes("drawn").value_or(false) ? 1 : 0)
        .run();
  }

  void decision(const Row& row) {
    const auto sowing = row.maybe_whole("sowing", 0, kMost), tray = row.maybe_whole("tray", 0, kMost);
    const std::int64_t lot = lot_called(row.text("lot"));
    std::optional<std::int64_t> sowing_id, tray_id;
    if (sowing) sowing_id = at(sowing_of, *sowing, "sowing");
    if (tray) tray_id = at(tray_of, *tray, "tray");
    if (tray_id == 0) tray_id = tray_of[*tray] = made_tray(*tray);
    file.prepare(
            "INSERT INTO decisions (lot, sowing, tray, decided_on, words) SELECT ?1, ?2, ?3, ?4, ?5 WHERE "
            "NOT EXISTS "
            "(SELECT 1 FROM decisions WHERE lot = ?1 AND sowing IS ?2 AND tray IS ?3 AND decided_on IS ?4 "
            "AND words = "
            "?5)")
        .bind(lot, sowing_id, tray_id, row.maybe("decided_on"), row.text("words"))
        .run();
  }
};

int take_in(const TextTable& table, const std::string& name, const std::function<void(const Row&)>& take) {
  if (table.empty()) refuse(name + " has no first row with the columns' names");
  std::map<std::string, std::size_t> columns;
  for (std::size_t at = 0; at < table[0].size(); ++at) columns[table[0][at]] = at;
  for (std::size_t at = 1; at < table.size(); ++at) try {
      take(Row{columns, table[at]});
    } catch (const std::invalid_argument& why) {
      refuse(fmt::format("{}, row {}: {}", name, at + 1, why.what()));
    }
  return static_cast<int>(table.size()) - 1;
}

}  // namespace

Imported import_tables(Ledger& ledger, const std::map<std::string, TextTable>& tables) {
  using Take = void (Importer::*)(const Row&);
  // Cells before the censuses that are packed from them.
  const std::pair<const char*, Take> order[] = {
      {"lots", &Importer::lot},     {"sowings", &Importer::sowing},    {"trays", &Importer::tray},
      {"photos", &Importer::photo}, {"cells", &Importer::cell},        {"censuses", &Importer::census},
      {"checks", &Importer::check}, {"decisions", &Importer::decision}};
  Imported taken;
  ledger.step("imported tables", [&] {
    Importer importer{ledger.file(), {}, {}, {}, {}};
    for (const auto& [name, take] : order)
      if (const auto table = tables.find(name); table != tables.end())
        taken[name] =
            take_in(table->second, name, [&, taker = take](const Row& row) { (importer.*taker)(row); });
    if (ledger.file().single("PRAGMA foreign_key_check") != 0) refuse("the tables do not hold together");
  });
  return taken;
}

}  // namespace braird::ledger
