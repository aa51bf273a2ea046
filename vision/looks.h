// SPDX-License-Identifier: Apache-2.0
// How the network looks at a flat tray: several times, flipped, since the mean of its looks is better than
// each.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/flat_tray.h"
#include "vision/hints.h"
#include "vision/seedlings.h"

namespace braird::vision {

/// How a picture is flipped before it is looked at: about a level axis, an upright one, or both (turned by
/// half).
struct Flip {
  bool upside_down = false, left_right = false;
};

/// One look after another.
constexpr Flip kLooks[] = {{}, {true, true}, {false, true}, {true, false}};

cv::Mat flipped(const cv::Mat& picture, const Flip& flip);

/// Leans point the other way once flipped.
FlatTray flipped(const FlatTray& flat, const Flip& flip);

/// What the network is told beside the picture, eight channels: lean, habit, seeds sown.
cv::Mat sides(const cv::Mat& lean, const Hints& hints);

/// Each cell's chances, row by row, of those that the network gives for rows and half columns.
std::vector<CountChances> chances_of_cells(const cv::Mat& seen, const Lattice& lattice);

/// The mean of `looks` looks (at most four), each at trays flipped in its way: `look_at(look)` gives the
/// chances for rows and half columns as they lie in the flipped tray.
template <typename LookAt>
cv::Mat mean_of_looks(int looks, const LookAt& look_at) {
  cv::Mat sum;
  for (int look = 0; look < looks; ++look) {
    const cv::Mat seen = flipped(look_at(look), kLooks[look]);
    if (sum.empty())
      seen.copyTo(sum);
    else
      sum += seen;
  }
  sum.convertTo(sum, CV_32F, 1.0 / looks);
  return sum;
}

}  // namespace braird::vision
