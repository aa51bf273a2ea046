// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/former.h"

#include <fmt/format.h>

#include <cmath>

#include "calibration/ledger/packing.h"
#include "calibration/same_tray.h"

namespace braird::ledger {
namespace {

TrayLabel known_of_row(const Statement& row) {
  TrayLabel known;
  known.tag = row.maybe_text(0).value_or("");
  known.lot = row.text(1);
  known.crop = row.maybe_text(2);
  known.sown_on = row.maybe_text(3);
  if (const auto seeds = row.maybe_whole(4)) known.seeds_per_cell = static_cast<int>(*seeds);
  if (known.lot == kUnnamed || known.lot == known.crop) known.lot.reset();
  return known;
}

}  // namespace

bool same_corners(const std::array<Point, 4>& former_px, const Tray& tray) {
  for (std::size_t at = 0; at < former_px.size(); ++at)
    if (std::hypot(former_px[at].x - tray.corners_px[at].x, former_px[at].y - tray.corners_px[at].y) >
        tray.pitch_px / 2)
      return false;
  return true;
}

std::vector<Former> former_censuses(const Database& file, std::int64_t photo) {
  Statement rows = file.prepare(fmt::format(
      "SELECT tag, name, crop, sown_on, seeds_per_cell, trays.id, sowings.id, lots.id, rows, cols, "
      "staggered, corners, (SELECT count(*) FROM censuses AS other WHERE other.tray = trays.id) "
      "FROM {} WHERE photo = ? ORDER BY number",
      kCensusTables));
  rows.bind(photo);
  std::vector<Former> former;
  while (rows.next())
    former.push_back({{rows.whole(5), rows.whole(6), rows.whole(7)},
                      known_of_row(rows),
                      layout_of_row(rows, 8),
                      unpack_corners(rows.bytes(11)),
                      rows.whole(12) == 1});
  return former;
}

Stood stood(const Former& former, const Tray& now) {
  Stood before{former.at.tray, former.at.sowing};
  if (former.layout != now.layout) return before;
  before.alone = former.alone;
  if (same_corners(former.corners_px, now)) before.same_cells = Place{former.at.tray, now, false};
  if (const Tray turned = half_turned(now); !before.same_cells && same_corners(former.corners_px, turned))
    before.same_cells = Place{former.at.tray, turned, true};
  return before;
}

}  // namespace braird::ledger
