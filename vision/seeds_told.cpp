// SPDX-License-Identifier: Apache-2.0
#include "vision/seeds_told.h"

namespace braird::vision {

std::string why_seeds_hide(const std::vector<CountChances>& chances) {
  (void)chances;
  return "";
}

}  // namespace braird::vision
