// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <stdexcept>

#include "calibration/checked_cells.h"
#include "calibration/gap_map.h"
#include "calibration/hand_counts.h"

namespace braird {
namespace {

struct Place {
  Lot* lot = nullptr;
  std::size_t tray = 0;
};

Place photographed(std::vector<Lot>& lots, const std::string& name, const std::string& file) {
  for (Lot& lot : lots)
    for (std::size_t at = 0; at < lot.trays.size(); ++at)
      if (lot.trays[at].from_photo && lot.trays[at].name == name) return {&lot, at};
  throw std::invalid_argument(fmt::format("{}: tray {} is none of the photos", file, name));
}

void add_tray(Place to, const TrayMap& by_hand, const std::string& file) {
  TrayMap& seen = to.lot->trays[to.tray];
  const Layout& photo = seen.layout;
  for (int at = 0; at < std::ssize(by_hand.cells); ++at) {
    const CellCount& cell = by_hand.cells[static_cast<std::size_t>(at)];
    if (cell.seeds == 0) continue;  // was not checked
    const int row = at / by_hand.layout.cols, col = at % by_hand.layout.cols;
    if (row >= photo.rows || col >= photo.cols)
      throw std::invalid_argument(fmt::format("{}: {} lies outside tray {} of {} x {} cells", file,
                                              place_name(by_hand, at), by_hand.name, photo.rows, photo.cols));
    to.lot->checked.push_back({to.tray, cell_index(photo, row, col), cell.seedlings});
    seen.cells[cell_index(photo, row, col)].seedlings = cell.seedlings;
  }
}

// Are these just the cells that the counter doubts most?
bool are_most_doubtful(const Lot& lot) {
  const auto by_hand = counted_by_hand(lot);
  double checked = std::numeric_limits<double>::max(), others = 0;
  for (std::size_t tray = 0; tray < lot.readings.size(); ++tray)
    for (std::size_t cell = 0; cell < lot.readings[tray].size(); ++cell) {
      const double spread = lot.readings[tray][cell].spread;
      if (by_hand.contains({tray, cell}))
        checked = std::min(checked, spread);
      else
        others = std::max(others, spread);
    }
  return checked > others;
}

// Only a draw tells of other cells.
void settle_what_is_no_draw(Lot& lot) {
  const std::size_t many = counted_by_hand(lot).size();
  if (many == 0) return;
  const bool doubtful = many >= kFewestChecks && are_most_doubtful(lot);
  if (many >= kFewestChecks && !doubtful) return;
  lot.remarks.push_back(
      doubtful
          ? fmt::format("The {} cells counted by hand are those that the counter doubts most: they stand in "
                        "its place, but only cells drawn at random tell of its error elsewhere.",
                        many)
          : fmt::format("{} in the counter's place; {} or more, drawn at random, would correct the others, "
                        "too.",
                        many == 1 ? "1 cell counted by hand stands"
                                  : fmt::format("{} cells counted by hand stand", many),
                        kFewestChecks));
  settle_checks(lot);
}

}  // namespace

void add_checked(std::vector<Lot>& lots, std::istream& in, const std::string& file) {
  HandCountOptions options;
  options.seeds = 1;  // marks the cells that were looked at
  for (const Lot& lot : read_hand_counts(in, file, options)) {
    if (lot.trays.empty())
      throw std::invalid_argument(file + ": checked cells need the columns lot,tray,row,col,count");
    for (const TrayMap& by_hand : lot.trays) add_tray(photographed(lots, by_hand.name, file), by_hand, file);
  }
  for (Lot& lot : lots) settle_what_is_no_draw(lot);
}

}  // namespace braird
