// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "calibration/hex.h"
#include "calibration/ledger/import_rows.h"
#include "calibration/ledger/rows.h"
#include "calibration/ledger/write_census.h"
#include "calibration/limits.h"

namespace braird::ledger {
namespace {

Bytes hash_of(const Row& row) {
  const auto hash = bytes_of_hex(row.text("photo"));
  if (!hash || hash->size() != kHashBytes) refuse("photo must be 32 hexadecimal digits");
  return *hash;
}

/// Where the photo's tray of that number stands in the ledger.
std::optional<Standing> standing_in_photo(const Database& file, std::int64_t photo, int number) {
  Statement row = file.prepare(fmt::format(
      "SELECT trays.id, sowings.id, lots.id FROM {} WHERE photo = ? AND number = ?", kCensusTables));
  row.bind(photo, number);
  if (!row.next()) return std::nullopt;
  return Standing{row.whole(0), row.whole(1), row.whole(2)};
}

std::int64_t tray_for_census(Importing& into, const std::optional<Standing>& known, int tray) {
  auto found = into.tray_of.find(tray);
  if (found == into.tray_of.end()) refuse(fmt::format("tray {} is not in trays", tray));
  if (found->second != 0) return found->second;
  if (known && fits(into.file, *known, into.sowing_of_tray.at(tray))) {
    move_tray(into.file, known->tray, into.sowing_of_tray.at(tray));
    found->second = known->tray;
  } else {
    found->second = made_tray(into, tray);
  }
  return found->second;
}

/// Hands the census's cells over; none where these cells hold none of it.
std::vector<Cell> cells_for(Importing::Cells& from, const Importing::Cells::key_type& census,
                            const Layout& layout, const char* otherwise) {
  std::vector<Cell> cells;
  if (auto found = from.extract(census)) cells = std::move(found.mapped());
  if (cells.empty()) return cells;
  const auto place = [&](const Cell& cell) { return cell.row * layout.cols + cell.col; };
  std::ranges::sort(cells, {}, place);
  if (cells.size() != number_of_cells(layout)) refuse(otherwise);
  for (int at = 0; at < std::ssize(cells); ++at)
    if (const Cell& cell = cells[static_cast<std::size_t>(at)]; place(cell) != at || cell.col >= layout.cols)
      refuse(otherwise);
  return cells;
}

Layout layout_of(const Database& file, std::int64_t tray) {
  Statement shape = file.prepare(
      "SELECT rows, cols, staggered FROM trays JOIN sowings ON sowings.id = sowing WHERE trays.id = ?");
  shape.bind(tray);
  shape.next();
  return layout_of_row(shape, 0);
}

void take_counts(Cell& cell, const Row& row, const std::string& which) {
  cell.count = row.whole(which + "count", 0, kMostSeedlings);
  cell.probability = row.numbers(which + "chances");
  for (const double chance : cell.probability)
    if (chance < 0 || chance > 1) refuse(which + "chances must be from 0 to 1");
  cell.review = row.maybe_yes(which + "review").value_or(false);
}

}  // namespace

void take_photo_of_tray(Importing& into, const Row& row) {
  into.photos_of_tray[row.whole("tray", 1, kMostNumber)].push_back(hash_of(row));
}

void take_photo(Importing& into, const Row& row) {
  photo_row(into.file, hash_of(row),
            {row.text("file"), row.whole("width", 1, kMostPixels), row.whole("height", 1, kMostPixels),
             row.maybe_time("taken")},
            row.maybe("remarks").value_or(""));
}

void take_cell(Importing& into, const Row& row) {
  Cell cell;
  cell.row = row.whole("row", 1, kMostRows) - 1;
  cell.col = row.whole("col", 1, kMostRows) - 1;
  cell.centre_px = {row.number("x"), row.number("y")};
  take_counts(cell, row, "");
  const auto plant = row.numbers("plant");
  if (plant.size() == 2 && std::abs(plant[0]) <= 10 && std::abs(plant[1]) <= 10)
    cell.plant = Point{plant[0], plant[1]};
  else if (!plant.empty())
    refuse("plant must be two numbers, in cells");
  const std::pair census(row.text("photo"), row.whole("number", 0, 1000));
  if (row.maybe("first_count")) {
    into.again_of[census].push_back(cell);
    take_counts(cell, row, "first_");
  }
  into.cells_of[census].push_back(std::move(cell));
}

void take_census(Importing& into, const Row& row) {
  Statement photo = into.file.prepare("SELECT id FROM photos WHERE hash = ?");
  const Bytes hash = hash_of(row);
  photo.bind(BlobView{hash});
  if (!photo.next()) refuse("this photo is not in photos");
  const int number = row.whole("number", 0, 1000);
  const std::int64_t photo_id = photo.whole(0);
  const auto known = standing_in_photo(into.file, photo_id, number);
  const int number_of_tray = row.whole("tray", 1, kMostNumber);
  const std::int64_t tray = tray_for_census(into, known, number_of_tray);
  if (known) into.left.emplace_back(*known, into.sowing_of_tray.at(number_of_tray));
  const auto corners = row.numbers("corners");
  if (corners.size() != 8) refuse("corners must be eight numbers");
  Tray census;
  for (std::size_t at = 0; at < 4; ++at) census.corners_px[at] = {corners[2 * at], corners[2 * at + 1]};
  census.layout = layout_of(into.file, tray);
  const std::pair key(row.text("photo"), number);
  constexpr const char* otherwise = "cells does not hold every cell of this census once";
  census.cells = cells_for(into.cells_of, key, census.layout, otherwise);
  if (census.cells.empty()) refuse(otherwise);
  const auto again = cells_for(into.again_of, key, census.layout,
                               "cells holds first_count for some cells of this census only");
  census.pitch_px = row.number("pitch_px"), census.fit = row.number("fit");
  census.seeds_in_view = row.maybe_number("seeds_in_view");
  if (census.seeds_in_view && !(*census.seeds_in_view >= 0 && *census.seeds_in_view <= 1))
    refuse("seeds_in_view must be from 0 to 1");
  write_census(into.file, {photo_id, number, tray, row.maybe_yes("by_label").value_or(false)}, census, again);
}

void take_check(Importing& into, const Row& row) {
  Statement census = into.file.prepare(
      fmt::format("SELECT censuses.id, rows, cols FROM {} WHERE hash = ? AND number = ?", kCensusTables));
  const Bytes hash = hash_of(row);
  census.bind(BlobView{hash}, row.whole("number", 0, 1000));
  if (!census.next()) refuse("this census is not in censuses");
  const int cols = static_cast<int>(census.whole(2));
  const int cell =
      (row.whole("row", 1, static_cast<int>(census.whole(1))) - 1) * cols + row.whole("col", 1, cols) - 1;
  into.file.prepare("INSERT OR REPLACE INTO checks (census, cell, seedlings, drawn) VALUES (?, ?, ?, ?)")
      .bind(census.whole(0), cell, row.whole("seedlings", 0, kMostSeedlings),
            row.maybe_yes("drawn").value_or(false) ? 1 : 0)
      .run();
}

}  // namespace braird::ledger
