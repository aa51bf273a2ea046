// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>
#include <vector>

#include "vision/lattice_blobs.h"
#include "vision/patch_growth.h"

namespace braird::vision {

/// A patch read as rows of cells, square or staggered: each blob's place in tray coordinates, but for where
/// the tray begins.
struct ReadPatch {
  bool staggered = false;
  std::vector<Meeting> cells;
};

/// Which cells of a read patch make a tray: its first cell, and how many.
struct PatchWindow {
  cv::Point2d first;  ///< in the patch's coordinates
  int rows = 0, cols = 0;
  double odd_row_shift = 0;
};

/// Rows of a staggered patch run along the quad's sides.
ReadPatch read_patch(const Patch& patch, const TrayQuad& quad);

/// The window in which most places are filled and beyond which most are not.
PatchWindow fullest_window(const ReadPatch& patch);

/// The windows that are most easily taken for one: a row or a column more or fewer at either end, or odd rows
/// shifted the other way.
std::vector<PatchWindow> neighbours(const PatchWindow& window);

/// The lattice that follows a patch's blobs within a window, however they are bent.
Lattice laid(const ReadPatch& patch, const PatchWindow& window, const Lens& lens);

}  // namespace braird::vision
