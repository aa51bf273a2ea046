// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/geometry.h"
#include "vision/hints.h"
#include "vision/lattice_maps.h"
#include "vision/photo_senses.h"
#include "vision/trace.h"

namespace braird::vision {

/// The trays found, or why none: `refusal` is one clause with its remedy ("no tray seen; photograph …").
struct LatticeSearch {
  std::vector<Lattice> lattices;
  std::string refusal;
  std::vector<std::string> remarks;
  double cell_px = 0;   ///< side of the smallest cell, in pixels of the picture; 0 without lattices
  bool blurry = false;  ///< something was seen that a picture with more detail may show
};

/// Where are the trays, and where are their cells? `bgr`: 8-bit photo of any size ≥ 200 px.
LatticeSearch find_lattices(const cv::Mat& bgr, const Hints& hints, const Trace& trace = {});

/// The same where the photo's maps have been read.
LatticeSearch find_lattices(const cv::Mat& bgr, const LatticeMaps& maps, const Hints& hints,
                            const Trace& trace = {});

/// A lattice laid through four corner cells given by hand. Needs rows, columns and corners in `hints`;
/// odd rows that are staggered are shifted so far towards higher columns. Throws std::invalid_argument if the
/// corners do not go clockwise, or cells would be over twice as long as wide.
Lattice lattice_from_corners(const Hints& hints, double odd_row_shift = 0.5);

/// The same from maps alone, and from the photo where they leave something unclear; the lattices are in the
/// photo's pixels and not yet numbered.
LatticeSearch find_in_maps(const LatticeMaps& maps, const Hints& hints, const PhotoSenses& photo = {});

}  // namespace braird::vision
