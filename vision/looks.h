// SPDX-License-Identifier: Apache-2.0
// What the counters' networks are told of a flat tray, and what they say of each cell.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/hints.h"
#include "vision/lattice.h"
#include "vision/seedlings.h"

namespace braird::vision {

/// The most seeds a cell that the networks saw told of plants of this habit (samples/painter, any_sowing).
/// Told of more they see nothing at all; where the habit isn't told, of more than 5 they miss single
/// brassicas.
int most_seeds_learned(SeedlingHabit habit);

/// What the network is told beside the picture, eight channels: lean, habit, seeds sown (at most so many).
cv::Mat sides(const cv::Mat& lean, const Hints& hints);

/// How often the networks of a model look at a whole tray. The more cells, the less often: large trays, which
/// are looked at once, take no longer.
int looks_for(const Lattice& lattice);

/// Each cell's chances, row by row, of those that the network gives for rows and half columns.
std::vector<CountChances> chances_of_cells(const cv::Mat& seen, const Lattice& lattice);

/// The half columns and rows of the cells whose state (none, one or several) is least sure, at most one cell
/// in 24: where another look at the rest of the tray would be in vain.
std::vector<cv::Point> doubtful_places(const cv::Mat& seen, const Lattice& lattice);

}  // namespace braird::vision
