// SPDX-License-Identifier: Apache-2.0
#include "calibration/cells.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calibration/limits.h"
#include "calibration/profiles.h"
#include "calibration/require.h"

namespace braird {
namespace {

CellReading hard_reading(double seedlings, double seeds) {
  return {seedlings, 0, seedlings > 0 ? 0.0 : 1.0, seeds};
}

// A cell counts for at most `most` seedlings.
CellReading reading_of(const Cell& cell, double seeds, double most) {
  const double read = std::min<double>(cell.count, most);
  if (cell.probability.empty()) return hard_reading(read, seeds);
  CellReading reading{read, 0, cell.probability[0], seeds, 0};
  for (std::size_t k = 0; k < cell.probability.size(); ++k) {
    const double held = std::min(static_cast<double>(k), most), off = held - read;
    reading.spread += off * off * cell.probability[k];
    reading.off += std::abs(off) * cell.probability[k];
    if (held > seeds) reading.overfull += cell.probability[k];
  }
  return reading;
}

}  // namespace

double most_seedlings(SeedKind kind, double seeds) {
  return kind == SeedKind::single || seeds == 0 ? seeds : std::numeric_limits<double>::infinity();
}

double mean_seeds(const SeedDrop& drop) {
  double mean = 0, sum = 0;
  for (std::size_t k = 0; k < drop.chance.size(); ++k) {
    require(drop.chance[k] >= 0, "chance in the seed drop", drop.chance[k], "≥ 0");
    mean += static_cast<double>(k) * drop.chance[k];
    sum += drop.chance[k];
  }
  require(std::abs(sum - 1) < 1e-6, "sum of the seed drop", sum, "1");
  require(mean > 0, "mean of the seed drop", mean, "> 0");
  return mean;
}

std::vector<CellCount> cell_counts(const Tray& tray, int seeds_per_cell) {
  require(seeds_per_cell >= 1, "seeds per cell", seeds_per_cell, "≥ 1");
  std::vector<CellCount> cells;
  cells.reserve(tray.cells.size());
  for (const Cell& cell : tray.cells) cells.push_back({cell.count, seeds_per_cell});
  return cells;
}

std::vector<CellReading> cell_readings(const Tray& tray, double seeds_per_cell) {
  require(seeds_per_cell > 0, "seeds per cell", seeds_per_cell, "> 0");
  std::vector<CellReading> readings;
  readings.reserve(tray.cells.size());
  const double most = most_seedlings(seed_kind(tray.crop), seeds_per_cell);
  for (const Cell& cell : tray.cells) readings.push_back(reading_of(cell, seeds_per_cell, most));
  return readings;
}

std::vector<CellReading> cell_readings(const Tray& tray, std::span<const CellCount> sown) {
  require(sown.size() == tray.cells.size(), "number of sown cells", sown.size(), "that of the tray's cells");
  std::vector<CellReading> readings;
  readings.reserve(sown.size());
  const SeedKind kind = seed_kind(tray.crop);
  for (std::size_t at = 0; at < sown.size(); ++at)
    readings.push_back(reading_of(tray.cells[at], sown[at].seeds, most_seedlings(kind, sown[at].seeds)));
  return readings;
}

std::vector<CellReading> cell_readings(std::span<const CellCount> cells, SeedKind kind) {
  check(cells);
  std::vector<CellReading> readings;
  readings.reserve(cells.size());
  for (const CellCount& cell : cells)
    if (cell.seeds > 0)
      readings.push_back(
          hard_reading(std::min<double>(cell.seedlings, most_seedlings(kind, cell.seeds)), cell.seeds));
  return readings;
}

int surplus(std::span<const CellCount> cells) {
  int sum = 0;
  for (const CellCount& cell : cells)
    if (cell.seeds > 0) sum += std::max(0, cell.seedlings - cell.seeds);
  return sum;
}

std::optional<std::vector<CellCount>> within_seeds(std::span<const CellCount> cells) {
  std::vector<CellCount> kept;
  kept.reserve(cells.size());
  double overfull = 0;
  for (const CellCount& cell : cells) {
    if (cell.seeds == 0) continue;
    overfull += cell.seedlings > cell.seeds;
    kept.push_back({std::min(cell.seedlings, cell.seeds), cell.seeds});
  }
  if (overfull > kMostOverfull * static_cast<double>(kept.size())) return std::nullopt;
  return kept;
}

void check(std::span<const CellCount> cells) {
  double seeds = 0;
  for (const CellCount& cell : cells) {
    require(cell.seeds >= 0, "seeds", cell.seeds, "≥ 0");
    require(cell.seedlings >= 0, "seedlings", cell.seedlings, "≥ 0");
    require(cell.seeds > 0 || cell.seedlings == 0, "seedlings", cell.seedlings, "0 where no seed was sown");
    seeds += cell.seeds;
  }
  require(seeds > 0, "seeds sown", seeds, "> 0");
}

}  // namespace braird
