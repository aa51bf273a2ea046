// SPDX-License-Identifier: Apache-2.0
// What do the statistics know of a cell? Either a hard count, or what the counter of a photo believes.
//
// A photo's counter gives each cell chances of 0, 1, 2 … seedlings. Every rate is made from the number
// it settles on (0 where an empty cell is likelier than not, else the likeliest other), which is what the
// marked photo shows and a person can check; the other chances say how far off that number may be, and make
// the interval wider (counter_doubt.h). So a count and its rate never disagree.
//
// A seed gives one plant, so a cell counts for at most as many seedlings as seeds were sown in it: the
// surplus comes from a double drop or from the counter, and says nothing of the seeds that failed elsewhere.
// A germination rate is then at most 100 %. Only the seed of beet and chard is sown as clusters that give
// several plants; their rate is a number per cluster, and nothing is cut (crops.json knows them).
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "calibration/census.h"

namespace braird {

/// What was sown in a cell (dish, replicate, plate: whatever fails together) and what stood in it.
/// `seedlings` may exceed `seeds`: beet and chard clusters, doubles. `seeds` 0 means not sown, or not looked
/// at.
struct CellCount {
  int seedlings = 0;
  int seeds = 0;
};

/// The same as the photo counter sees it. A hard count has `spread` and `off` 0, and `empty` 0 or 1.
struct CellReading {
  double seedlings = 0;  ///< the cell's count
  double spread = 0;     ///< mean square of its error, by the counter's chances
  double empty = 0;      ///< chance that the cell is empty
  double seeds = 0;      ///< sown, on average
  double off = 0;        ///< mean size of its error, by the counter's chances; seedlings
  bool by_hand = false;  ///< a person counted this cell in the counter's place
  double overfull = 0;   ///< chance of more seedlings than seeds, where these may give more (clusters)
};

/// What is sown as one seed?
enum class SeedKind {
  single,  ///< gives one plant at most
  cluster  ///< of several seeds: beet, chard
};

/// How many seedlings that many seeds can give: no more than seeds; of clusters any number, but none of none.
double most_seedlings(SeedKind kind, double seeds);

/// How many seeds does the sower drop into a cell? `chance[k]` is that of k seeds; sums to 1.
struct SeedDrop {
  std::vector<double> chance;
};

/// The mean of a drop. Throws std::invalid_argument unless the chances are ≥ 0, sum to 1 (within 1e-6) and
/// some seed is dropped at all.
double mean_seeds(const SeedDrop& drop);

/// The cells of a counted tray, each with the same number of seeds. Throws std::invalid_argument unless seeds
/// ≥ 1.
std::vector<CellCount> cell_counts(const Tray& tray, int seeds_per_cell);

/// The counted tray as readings: each cell's count, and how far off it may be ("or more" taken as
/// its lower end). A cell without chances is read as a hard count. Surplus seedlings are cut off unless the
/// tray's crop is sown as clusters. Throws std::invalid_argument unless seeds_per_cell > 0.
std::vector<CellReading> cell_readings(const Tray& tray, double seeds_per_cell);

/// The same where each cell has its own number of seeds, in the order of the tray's cells; a cell without any
/// counts for none. Throws std::invalid_argument unless there are as many.
std::vector<CellReading> cell_readings(const Tray& tray, std::span<const CellCount> sown);

/// Hard counts as readings; unsown cells are left out. Surplus seedlings are cut off for single seeds. Throws
/// like check.
std::vector<CellReading> cell_readings(std::span<const CellCount> cells, SeedKind kind = SeedKind::cluster);

/// How many seedlings of these cells are more than the seeds sown there? Cells without seeds are left out.
int surplus(std::span<const CellCount> cells);

/// The cells with their surplus seedlings cut off, fit for likelihoods in which no cell holds more seedlings
/// than seeds; unsown cells are left out. Nothing where over 5 % of the sown cells hold more (then it is no
/// slip of sower or counter but seed clusters or a wrong seed number; the limit is common practice, no
/// source).
std::optional<std::vector<CellCount>> within_seeds(std::span<const CellCount> cells);

/// Throws std::invalid_argument with one sentence if a cell has negative numbers or seedlings without a seed,
/// or if no cell was sown.
void check(std::span<const CellCount> cells);

}  // namespace braird
