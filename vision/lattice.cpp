// SPDX-License-Identifier: Apache-2.0
#include "vision/lattice.h"

namespace braird::vision {

LatticeSearch find_lattices(const cv::Mat&, const Hints&, const Trace&) {
  return {{}, "no tray seen", {}};
}

}  // namespace braird::vision
