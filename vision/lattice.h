// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "vision/geometry.h"
#include "vision/hints.h"
#include "vision/lattice_maps.h"
#include "vision/trace.h"

namespace braird::vision {

/// The trays found, or why none: `refusal` is one clause with its remedy ("no tray seen; photograph …").
struct LatticeSearch {
  std::vector<Lattice> lattices;
  std::string refusal;
  std::vector<std::string> remarks;
};

/// Where are the trays, and where are their cells? `bgr`: 8-bit photo of any size ≥ 200 px.
LatticeSearch find_lattices(const cv::Mat& bgr, const Hints& hints, const Trace& trace = {});

/// The same from maps alone; the lattices are in map pixels and not yet numbered.
LatticeSearch find_in_maps(const LatticeMaps& maps, const Hints& hints);

}  // namespace braird::vision
