// SPDX-License-Identifier: Apache-2.0
// How far apart are two rates, by the other methods that people publish?
//
// For comparing with a paper or another program; between trays use newcombe_difference or difference
// (interval.h). Newcombe 1998, Stat Med 17:873-890, compares them: the textbook interval is too narrow with
// few seeds, and all but the score methods may leave [−1, 1].
//
//   method             what it is
//   wald               textbook normal interval
//   wald_cc            the same with a continuity correction
//   haldane            score-like, mean of both rates (Beal 1987, Biometrics 43:941-950)
//   jeffreys_perks     the same, rates smoothed by half a seed
//   mee                score interval (Mee 1984, Biometrics 40:1175-1176)
//   miettinen_nurminen the same with the variance over N − 1 (1985, Stat Med 4:213-226)
//   hauck_anderson     normal, variance over n − 1, smaller correction (1986, Am Stat 40:318-322)
//   agresti_caffo      normal after adding one success and one failure to each (2000, Am Stat 54:280-288)
#pragma once

#include "calibration/interval.h"

namespace braird {

enum class DifferenceMethod {
  wald,
  wald_cc,
  haldane,
  jeffreys_perks,
  mee,
  miettinen_nurminen,
  hauck_anderson,
  agresti_caffo
};

/// Limits of first minus second, in shares; not clipped. Throws std::invalid_argument unless 0 ≤ count ≤ n
/// and n > 0 on both sides (n > 1 for hauck_anderson), and 0 < confidence < 1.
Interval rate_difference(Share first, Share second, DifferenceMethod method, double confidence = 0.95);

}  // namespace braird
