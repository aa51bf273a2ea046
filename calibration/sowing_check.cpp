// SPDX-License-Identifier: Apache-2.0
#include "calibration/sowing_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "calibration/findings.h"
#include "calibration/require.h"

namespace braird {
namespace {

// Share of cells. Of 57 painted trays 42 are below, with 0.973 of cells right; those up to 0.15 have 0.89. No
// source.
constexpr double kMostMisnumbered = 0.1;

void check(const Tray& tray, int seeds) {
  require(seeds >= 1, "seeds per cell", seeds, "≥ 1");
  require(!tray.cells.empty(), "number of cells", tray.cells.size(), "≥ 1");
}

template <typename Holds>
Estimate share_of(const Tray& tray, Holds holds) {
  const auto count = static_cast<double>(std::ranges::count_if(tray.cells, holds));
  const auto cells = static_cast<double>(tray.cells.size());
  const Interval limits = wilson(count, cells);
  return {count / cells, limits.low, limits.high, "Wilson"};
}

/// Common practice of growers, no source.
const char* what_to_check(FindingKind kind) {
  switch (kind) {
    case FindingKind::row:
    case FindingKind::column:
      return "look for blocked holes or nozzles in this line";
    case FindingKind::edge:
    case FindingKind::corner:
      return "check that sower and tray lie level and true to each other";
    default:
      return "check whether the sower ran empty or stuck there";
  }
}

// As of one seed a cell, so that only whether anything lies in it is asked.
TrayMap drops_of(const Tray& tray) {
  return tray_map(tray, 1, "");
}

std::string fault_sentence(const Finding& finding) {
  if (finding.kind == FindingKind::clump)
    return fmt::format("Cells without a seed lie together more than by chance: {}.",
                       what_to_check(finding.kind));
  if (!finding.difference)
    return fmt::format("More cells in a row got no seed than by chance, {}: {}.", finding.place,
                       what_to_check(finding.kind));
  const Estimate& more = *finding.difference;
  return fmt::format(
      "In {} the share of cells without a seed is {:.0f} points {} than elsewhere (95 % interval {:.0f} "
      "to {:.0f}): {}.",
      finding.place, 100 * std::abs(more.estimate), more.estimate > 0 ? "higher" : "lower",
      100 * std::min(std::abs(more.low), std::abs(more.high)),
      100 * std::max(std::abs(more.low), std::abs(more.high)), what_to_check(finding.kind));
}

}  // namespace

double misnumbered(const Tray& tray) {
  double wrong = 0;
  for (const Cell& cell : tray.cells)
    if (const auto count = static_cast<std::size_t>(cell.count); count < cell.probability.size())
      wrong += 1 - cell.probability[count];
  return tray.cells.empty() ? 0 : wrong / static_cast<double>(tray.cells.size());
}

bool single_seeds_told(const Tray& tray) {
  return misnumbered(tray) <= kMostMisnumbered;
}

std::vector<Mending> cells_to_mend(const Tray& tray, int seeds) {
  check(tray, seeds);
  const int enough = single_seeds_told(tray) ? seeds : 1;
  std::vector<Mending> walk;
  bool backwards = false;
  for (int row = 0; row < tray.layout.rows; ++row) {
    const auto before = static_cast<std::ptrdiff_t>(walk.size());
    for (const Cell& cell : tray.cells)
      if (cell.row == row && cell.count < enough)
        walk.push_back({cell.row, cell.col, seeds - cell.count, cell.review});
    if (std::ssize(walk) == before) continue;
    if (backwards) std::reverse(walk.begin() + before, walk.end());
    backwards = !backwards;
  }
  return walk;
}

DropShares drop_shares(const Tray& tray, int seeds) {
  check(tray, seeds);
  return {share_of(tray, [&](const Cell& cell) { return cell.count < seeds; }),
          share_of(tray, [&](const Cell& cell) { return cell.count > seeds; }),
          share_of(tray, [](const Cell& cell) { return cell.count == 0; })};
}

std::vector<std::string> sower_faults(const Tray& tray, int seeds) {
  check(tray, seeds);
  std::vector<std::string> sentences;
  for (const Finding& finding : find_patterns(drops_of(tray))) sentences.push_back(fault_sentence(finding));
  return sentences;
}

std::vector<std::string> failed_holes(std::span<const Tray> trays, int seeds) {
  std::vector<TrayMap> maps;
  for (const Tray& tray : trays) {
    check(tray, seeds);
    maps.push_back(drops_of(tray));
  }
  std::vector<std::string> sentences;
  for (const Finding& finding : find_repeated_places(maps)) sentences.push_back(finding.sentence);
  return sentences;
}

}  // namespace braird
