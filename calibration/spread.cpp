// SPDX-License-Identifier: Apache-2.0
#include "calibration/spread.h"

#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>

namespace braird {

double chance_of_at_least(double count, const Spread& spread) {
  if (count <= 0) return 1;
  if (spread.mean <= 0) return 0;
  if (spread.variance <= 0) return count <= spread.mean ? 1 : 0;
  const double share = 1 - spread.variance / spread.mean;
  if (std::abs(share) < 1e-9) return boost::math::gamma_p(count, spread.mean);
  const double size = spread.mean / share;
  if (share < 0) return boost::math::ibeta(count, -size, 1 - spread.mean / spread.variance);
  return count >= size + 1 ? 0 : boost::math::ibeta(count, size - count + 1, share);
}

double quantile_of(double share, const Spread& spread, double most) {
  double count = 0;
  while (count < most && 1 - chance_of_at_least(count + 1, spread) < share) ++count;
  return count;
}

}  // namespace braird
