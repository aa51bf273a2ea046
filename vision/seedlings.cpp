// SPDX-License-Identifier: Apache-2.0
#include "vision/seedlings.h"

namespace braird::vision {

std::vector<CountChances> count_seedlings(const cv::Mat&, const Lattice& lattice, const Hints&, const Trace&) {
  return std::vector<CountChances>(static_cast<std::size_t>(lattice.rows) * lattice.cols, {1.0});
}

}  // namespace braird::vision
