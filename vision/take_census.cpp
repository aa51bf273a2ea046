// SPDX-License-Identifier: Apache-2.0
#include "vision/take_census.h"

#include <algorithm>

#include "vision/lattice.h"
#include "vision/seedlings.h"
#include "vision/seeds_told.h"

namespace braird::vision {
namespace {

/// A count less likely than this is worth a look.
constexpr double kSureEnough = 0.6;

Point to_point(cv::Point2d p) {
  return {p.x, p.y};
}

Cell to_cell(const Lattice& lattice, int row, int col, const CountChances& chances) {
  const auto best = std::max_element(chances.begin(), chances.end());
  Cell cell;
  cell.row = row;
  cell.col = col;
  cell.centre_px = to_point(cell_centre(lattice, row, col));
  cell.count = static_cast<int>(best - chances.begin());
  cell.probability = chances;
  cell.review = *best < kSureEnough;
  return cell;
}

Tray to_tray(const Lattice& lattice, const std::vector<CountChances>& chances) {
  Tray tray;
  tray.layout = layout_of(lattice);
  const int last_row = lattice.rows - 1, last_col = lattice.cols - 1;
  tray.corners_px = {to_point(cell_centre(lattice, 0, 0)), to_point(cell_centre(lattice, 0, last_col)),
                     to_point(cell_centre(lattice, last_row, last_col)),
                     to_point(cell_centre(lattice, last_row, 0))};
  tray.pitch_px = pitch_at(lattice, {last_col / 2.0, last_row / 2.0});
  tray.fit = lattice.fit;
  for (int row = 0; row < lattice.rows; ++row)
    for (int col = 0; col < lattice.cols; ++col)
      tray.cells.push_back(to_cell(lattice, row, col, chances[tray.cells.size()]));
  return tray;
}

/// What stands in the way of believing these counts; empty if nothing does.
std::string trouble_with(const std::vector<CountChances>& chances, const Hints& hints) {
  return hints.counted == Counted::seeds ? why_seeds_hide(chances) : "";
}

/// Trays left out for this reason: the photo is refused if no other is left.
void leave_out(const std::string& why, Reading& reading) {
  if (why.empty()) return;
  if (reading.census.trays.empty())
    reading.refusal = why;
  else
    reading.census.remarks.push_back("a tray was not counted: " + why);
}

}  // namespace

Reading take_census(const Photo& photo, const Hints& hints, const Trace& trace) {
  Reading reading;
  reading.census.photo = photo.facts;
  reading.census.counted = hints.counted;
  const LatticeSearch search = find_lattices(photo.bgr, hints, trace);
  reading.census.remarks = search.remarks;
  reading.refusal = search.refusal;
  std::string left_out;  // why trays were
  for (const Lattice& lattice : search.lattices) {
    const auto chances = count_seedlings(photo.bgr, lattice, hints, trace);
    const std::string trouble = trouble_with(chances, hints);
    if (!trouble.empty()) {
      left_out = trouble;
      continue;
    }
    Tray tray = to_tray(lattice, chances);
    tray.seeds_per_cell = hints.seeds_per_cell;
    reading.census.trays.push_back(std::move(tray));
  }
  leave_out(left_out, reading);
  return reading;
}

}  // namespace braird::vision
