// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "samples/painter/body.h"
#include "samples/painter/relief.h"

namespace braird::painter {

/// What was sown in a cell and what came of it.
struct SownCell {
  int row = 0;
  int col = 0;
  int seeds = 0;
  std::vector<int> bodies;               ///< places of its seedlings among the bodies
  std::vector<cv::Vec3d> seeds_in_view;  ///< tops of seeds that lie uncovered
};

/// Sows every cell of a tray. Seedlings join `bodies`; uncovered seeds are laid on the relief.
std::vector<SownCell> sow(const Scene& scene, const Tray& tray, Relief& relief, std::vector<Body>& bodies,
                          Random random);

/// Plants between the cells and beside the tray, which don't count.
void grow_weeds(const Scene& scene, const Tray& tray, const Relief& relief, std::vector<Body>& bodies,
                Random random);

}  // namespace braird::painter
