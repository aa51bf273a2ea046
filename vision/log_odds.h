// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <cmath>

namespace braird::vision {

/// Of a chance, 0..1; those nearer to either end than 1 in 10,000 count as that.
inline double log_odds(double chance) {
  constexpr double kLeast = 1e-4;
  const double p = std::clamp(chance, kLeast, 1 - kLeast);
  return std::log(p / (1 - p));
}

}  // namespace braird::vision
