// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/write_census.h"

#include <fmt/format.h>

#include "calibration/ledger/former.h"
#include "calibration/ledger/packing.h"
#include "calibration/same_tray.h"

namespace braird::ledger {
namespace {

/// The cells that the checks are of, counted from the other end.
void turn_checks(const Database& file, std::int64_t census, const Layout& layout) {
  const auto cells = static_cast<std::int64_t>(number_of_cells(layout));
  file.prepare("UPDATE checks SET cell = -1 - cell WHERE census = ?").bind(census).run();
  file.prepare("UPDATE checks SET cell = cell + ? WHERE census = ?").bind(cells, census).run();
}

std::int64_t drop_checks(const Database& file, std::int64_t census) {
  file.prepare("DELETE FROM checks WHERE census = ?").bind(census).run();
  return file.single("SELECT changes()");
}

std::int64_t carry_checks(const Database& file, const CensusRow& row, const Tray& now) {
  Statement rows = file.prepare(
      fmt::format("SELECT censuses.id, rows, cols, staggered, corners FROM {} WHERE photo = ? AND number = ?",
                  kCensusTables));
  rows.bind(row.photo, row.number);
  if (!rows.next()) return 0;
  const std::int64_t census = rows.whole(0);
  const auto corners = unpack_corners(rows.bytes(4));
  if (layout_of_row(rows, 1) != now.layout) return drop_checks(file, census);
  if (same_corners(corners, now)) return 0;
  if (!same_corners(corners, half_turned(now))) return drop_checks(file, census);
  turn_checks(file, census, now.layout);
  return 0;
}

}  // namespace

std::int64_t write_census(const Database& file, const CensusRow& row, const Tray& census,
                          const std::vector<Cell>& again) {
  const std::int64_t dropped = carry_checks(file, row, census);
  const Bytes corners = pack_corners(census.corners_px), counts = pack_counts(census.cells),
              places = pack_places(census.cells, census.layout.cols), plants = pack_plants(census.cells),
              counts_again = pack_counts(again);
  file.prepare(
          "INSERT INTO censuses (photo, number, tray, by_label, corners, pitch_px, fit, counts, places, "
          "plants, counts_again, seeds_in_view) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT "
          "(photo, number) DO UPDATE SET tray = excluded.tray, by_label = excluded.by_label, corners = "
          "excluded.corners, pitch_px = excluded.pitch_px, fit = excluded.fit, counts = excluded.counts, "
          "places = excluded.places, plants = excluded.plants, counts_again = ifnull(excluded.counts_again, "
          "iif(counts = excluded.counts, counts_again, NULL)), seeds_in_view = excluded.seeds_in_view")
      .bind(row.photo, row.number, row.tray, row.by_label ? 1 : 0, BlobView{corners}, census.pitch_px,
            census.fit, BlobView{counts}, BlobView{places}, BlobView{plants},
            again.empty() ? std::nullopt : std::optional(BlobView{counts_again}), census.seeds_in_view)
      .run();
  return dropped;
}

void turn_censuses(const Database& file, std::int64_t tray) {
  Statement rows =
      file.prepare(fmt::format("SELECT {} FROM {} WHERE trays.id = ?", kCensusColumns, kCensusTables));
  rows.bind(tray);
  struct Found {
    CensusRow row;
    Tray first, again;
  };
  std::vector<Found> found;
  while (rows.next()) {
    Tray first = census_of_row(rows, file).tray, again = first;
    unpack_counts(rows.bytes(census_column::first_counts), first.cells);
    if (rows.is_null(census_column::counts_again))
      again.cells.clear();
    else
      unpack_counts(rows.bytes(census_column::counts_again), again.cells);
    const CensusRow row{rows.whole(census_column::photo), rows.whole(census_column::number), tray,
                        rows.whole(census_column::by_label) == 1};
    found.push_back({row, first, again});
  }
  for (const auto& [row, first, again] : found)
    write_census(file, row, half_turned(first), half_turned(again).cells);
}

}  // namespace braird::ledger
