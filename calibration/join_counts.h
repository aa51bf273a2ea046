// SPDX-License-Identifier: Apache-2.0
// Do gaps lie together? Joins are pairs of cells that touch; more joins between two empty cells than a
// shuffled tray would have means clumps. Moments under non-free sampling (the number of empty cells is
// given), exact for any tray shape and any cells left out; or under free sampling. Cliff & Ord 1981, Spatial
// Processes; Upton & Fingleton 1985, Table 3.4-3.7.
#pragma once

#include <span>
#include <utility>
#include <vector>

#include "calibration/census.h"
#include "calibration/spread.h"

namespace braird {

/// Which cells touch? Chess moves on a square tray; `six` are the neighbours in a staggered one, whose odd
/// rows are shifted towards higher columns.
enum class Contact { rook, bishop, queen, six };

/// All pairs of cells that touch, as places in the row-by-row list, each pair once. Layout sides ≥ 1.
std::vector<std::pair<int, int>> joins(const Layout& layout, Contact contact);

/// The contact that a lattice has by nature: rook, or six.
Contact touching(LatticeKind lattice);

struct JoinCount {
  double seen = 0;
  Spread expected;
  double z = 0;  ///< standard deviations above the expected; 0 where the variance is 0
};

/// What is random? Either which of the cells are empty, their number given (the default: a tray's gaps are
/// counted), or each cell's label on its own, with the seen shares as chances.
enum class Sampling { number_given, free };

/// Joins of any pairs, as places in `labels`, each pair once: between cells labelled `a` and cells labelled
/// `b`, or of different labels. Labels as in a tray's, below. Throws std::invalid_argument for a place
/// outside the list, or fewer than 4 labelled cells.
JoinCount join_count(std::span<const int> labels, std::span<const std::pair<int, int>> pairs, int a, int b,
                     Sampling sampling = Sampling::number_given);
JoinCount unlike_joins(std::span<const int> labels, std::span<const std::pair<int, int>> pairs);

/// A tray's labels: `labels[i]` of each cell row by row, 0 and up, or −1 for cells to leave out.
/// Joins between cells labelled `a` and cells labelled `b` (a = b allowed). Throws std::invalid_argument if
/// the number of labels is not that of the layout's cells, or fewer than 4 cells are left.
JoinCount join_count(std::span<const int> labels, const Layout& layout, Contact contact, int a, int b);

/// Joins between cells of different labels, all labels together. Throws likewise.
JoinCount unlike_joins(std::span<const int> labels, const Layout& layout, Contact contact);

/// Do equal cells follow each other along the sowing order? Number of runs in a row of 0 and 1; z < 0 means
/// long runs. Wald & Wolfowitz 1940, Ann Math Stat 11:147-162. Throws std::invalid_argument for an empty
/// sequence.
JoinCount runs_test(std::span<const int> sequence);

/// Chance that `cells` cells in a row, `empty` of them empty anywhere, hold a run of at least `length` empty
/// ones. Exact, cell by cell; in tables of thousands of cells, where that takes too long, a little above it (the
/// chances of each place added up), the less so the smaller it is. Throws std::invalid_argument unless
/// length ≥ 1 and 0 ≤ empty ≤ cells.
double chance_of_run(int length, int empty, int cells);

}  // namespace braird
