// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "calibration/belief.h"

namespace braird {
namespace {

bool is_overfull(const SeenTray& tray) {
  for (std::size_t k = static_cast<std::size_t>(tray.seeds) + 1; k < tray.cells_with.size(); ++k)
    if (tray.cells_with[k] > 0) return true;
  return false;
}

}  // namespace

Sower fitted_sower(const LotEvidence& evidence) {
  Sower best = evidence.sower;
  if (best.doubles > 0 || std::ranges::none_of(evidence.trays, is_overfull)) return best;
  LotEvidence trial = evidence;
  double likeliest = -1e300;
  for (const double doubles : {.01, .02, .04, .07, .12, .2, .35, .6, 1.}) {
    if (doubles + best.skips > 1) break;
    trial.sower.doubles = doubles;
    const double log_evidence = believe(trial).log_evidence;
    if (log_evidence <= likeliest) continue;
    likeliest = log_evidence;
    best.doubles = doubles;
  }
  return best;
}

}  // namespace braird
