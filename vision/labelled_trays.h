// SPDX-License-Identifier: Apache-2.0
// What labels say of the trays beside them.
#pragma once

#include <variant>

#include "vision/lattice.h"
#include "vision/lattice_trouble.h"

namespace braird::vision {

/// What its label says of a tray goes before what is said of all; but where another shape was stated and the
/// cells have that, the label's shape is left aside. Nothing stated: why such a tray isn't counted.
std::variant<Hints, Trouble> hints_for(const Lattice& tray, const SeenLabel& label, const Hints& all);

/// Where the trays are, with the labels in the hints as a help: what they agree on is stated of all trays;
/// but if more or other trays are seen, and more of them found so, their shapes are some that are likely.
LatticeSearch find_labelled(const cv::Mat& bgr, const LatticeMaps& maps, const Hints& hints,
                            const Trace& trace);

}  // namespace braird::vision
