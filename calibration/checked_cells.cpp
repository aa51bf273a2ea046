// SPDX-License-Identifier: Apache-2.0
#include "calibration/checked_cells.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>
#include <utility>

#include "calibration/counter_error.h"
#include "calibration/gap_map.h"
#include "calibration/hand_counts.h"
#include "calibration/require.h"

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
  const Layout& photo = to.lot->trays[to.tray].layout;
  for (int at = 0; at < std::ssize(by_hand.cells); ++at) {
    const CellCount& cell = by_hand.cells[static_cast<std::size_t>(at)];
    if (cell.seeds == 0) continue;  // was not checked
    const int row = at / by_hand.layout.cols, col = at % by_hand.layout.cols;
    if (row >= photo.rows || col >= photo.cols)
      throw std::invalid_argument(fmt::format("{}: {} lies outside tray {} of {} x {} cells", file,
                                              place_name(by_hand, at), by_hand.name, photo.rows, photo.cols));
    to.lot->checked.push_back({to.tray, cell_index(photo, row, col), cell.seedlings});
  }
}

// The mean over all cells of what `truth` makes of a hand count, helped by what `counted` makes of a reading.
template <typename Truth, typename Counted>
CorrectedMean checked_mean(const Lot& lot, Truth truth, Counted counted) {
  std::map<std::pair<std::size_t, std::size_t>, int> by_hand;
  for (const CheckedPlace& place : lot.checked) by_hand[{place.tray, place.cell}] = place.seedlings;
  std::vector<CheckedCell> checked;
  std::vector<double> unchecked;
  for (std::size_t tray = 0; tray < lot.readings.size(); ++tray)
    for (std::size_t cell = 0; cell < lot.readings[tray].size(); ++cell) {
      const double seen = counted(lot.readings[tray][cell]);
      const auto hand = by_hand.find({tray, cell});
      if (hand == by_hand.end())
        unchecked.push_back(seen);
      else
        checked.push_back({truth(hand->second), seen});
    }
  CorrectedMean mean = power_tuned_mean(checked, unchecked);
  mean.mean.method = fmt::format("{}, {} cells checked by hand", mean.mean.method, checked.size());
  return mean;
}

double checked_cells(const Lot& lot) {
  std::set<std::pair<std::size_t, std::size_t>> places;
  for (const CheckedPlace& place : lot.checked) places.insert({place.tray, place.cell});
  return static_cast<double>(places.size());
}

// A share's interval is Wilson's for as many independent units as would be this sure: symmetrical limits
// would leave [0, 1], and fall short near its ends. A counter that made no error in the checked cells may
// still make one elsewhere: one miscounted unit more than was seen is allowed for, and half a unit up and
// half a unit not (Jeffreys' prior) keeps a share of 0 or 1 from looking certain. `units` are those checked.
Estimate as_share(const CorrectedMean& mean, double cells, double units) {
  const double mean_share = std::clamp(mean.mean.estimate, 0.0, 1.0);
  const double share = 1 - mean_share < 1e-12 ? 1 : mean_share;  // sums of shares miss 1 by a hair
  const double smoothed = (share * units + 0.5) / (units + 1);
  const double variance = mean.standard_error * mean.standard_error + 1 / (units * units);
  const double size = smoothed * (1 - smoothed) / variance;
  const Interval limits = wilson_for_z(share * size, size, t_quantile(cells - 1, 0.95));
  return {share, limits.low, limits.high, mean.mean.method};
}

// The same number of seeds in every cell.
double seeds_a_cell(const Lot& lot) {
  double seeds = 0;
  for (const auto& tray : lot.readings)
    for (const CellReading& cell : tray) {
      require(seeds == 0 || cell.seeds == seeds, "seeds in a cell", cell.seeds, "the same in all cells");
      seeds = cell.seeds;
    }
  require(seeds > 0, "seeds in a cell", seeds, "> 0");
  return seeds;
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
}

Estimate checked_germination_rate(const Lot& lot) {
  const double seeds = seeds_a_cell(lot);
  const bool single = lot.seed == SeedKind::single;
  CorrectedMean rate = checked_mean(
      lot, [&](int seedlings) { return (single ? std::min<double>(seedlings, seeds) : seedlings) / seeds; },
      [&](const CellReading& reading) { return reading.seedlings / seeds; });
  if (single) return as_share(rate, checked_cells(lot), seeds * checked_cells(lot));
  for (double* value : {&rate.mean.estimate, &rate.mean.low, &rate.mean.high}) *value = std::max(0.0, *value);
  return rate.mean;
}

double checked_mean_error(const Lot& lot) {
  return checked_mean(
             lot, [](int seedlings) { return static_cast<double>(seedlings); },
             [](const CellReading& reading) { return reading.seedlings; })
      .standard_error;
}

Estimate checked_gap_rate(const Lot& lot) {
  const CorrectedMean rate = checked_mean(
      lot, [](int seedlings) { return seedlings == 0 ? 1.0 : 0.0; },
      [](const CellReading& reading) { return reading.empty; });
  return as_share(rate, checked_cells(lot), checked_cells(lot));
}

}  // namespace braird
