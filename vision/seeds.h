// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "vision/geometry.h"
#include "vision/hints.h"
#include "vision/seedlings.h"
#include "vision/trace.h"

namespace braird::vision {

/// What lies on a tray just sown.
struct SeedsSeen {
  std::vector<CountChances> chances;  ///< of 0, 1, 2 … seeds, one entry a cell, row by row
  double alike = 0;  ///< how much cells look like the next one, -1 to 1; in an empty tray even its hole does
};

/// `bgr`: 8-bit photo; of `hints` crop and seeds sown count. Throws std::invalid_argument where seeds are to
/// be counted by shape.
SeedsSeen see_seeds(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints, const Trace& trace = {});

/// Is that a count of seeds to judge a sower by? Empty if so; else why not (an empty tray, seedlings, seeds
/// that can't be told) and what to do.
std::string why_no_count(const cv::Mat& bgr, const Lattice& lattice, const Hints& hints,
                         const SeedsSeen& seen);

/// The share, 0 to 1, of the cells in the middle of a tray in which nothing has come up, at most 36, where
/// seeds lie in view; 0 where they can't be told. What `hints` say of the seeds sown isn't heeded.
double seeds_lie_in(const cv::Mat& bgr, const Lattice& lattice, Hints hints);

}  // namespace braird::vision
