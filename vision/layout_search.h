// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "vision/lattice_maps.h"
#include "vision/tray_quad.h"

namespace braird::vision {

/// A way to divide the quad into cells. Rows run along the quad's first side.
struct LayoutGuess {
  Lattice lattice;     ///< on the map
  int first_side = 0;  ///< of the quad, along which its rows run
  double score = 0;    ///< strength of the weaker of its two rhythms, 0 … about 0.5
};

constexpr int kFewestCells = 3;  ///< a side
constexpr int kMostCells = 42;

/// Which layouts fit the rhythm of the cell centres within the quad? Best first; both ways to lay rows are
/// tried.
std::vector<LayoutGuess> rank_layouts(const LatticeMaps& maps, const TrayQuad& quad);

/// The layouts that are most easily taken for a guess: a row or a column more or fewer, odd rows shifted the
/// other way.
std::vector<LayoutGuess> neighbours(const TrayQuad& quad, const LayoutGuess& guess);

/// The quad divided into the stated layout, its rows along the quad's side number `first_side`.
Lattice divide(const TrayQuad& quad, int rows, int cols, double odd_row_shift, int first_side);

}  // namespace braird::vision
