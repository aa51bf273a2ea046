// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "vision/geometry.h"
#include "vision/hints.h"
#include "vision/trace.h"

namespace braird::vision {

/// Chances of 0, 1, 2 … seedlings or seeds in one cell; the last entry means "or more".
using CountChances = std::vector<double>;

/// How many seedlings stand in each cell? One entry a cell, row by row.
std::vector<CountChances> count_seedlings(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints,
                                          const Trace& trace = {});

}  // namespace braird::vision
