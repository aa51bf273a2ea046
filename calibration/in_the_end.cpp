// SPDX-License-Identifier: Apache-2.0
#include "calibration/in_the_end.h"

#include <algorithm>

#include "calibration/emergence_fit.h"

namespace braird {
namespace {

// Of the seeds that are not up, the share that comes, or came, if `end` of all come up.
double still_coming(double end, double up) {
  return up < 1 ? std::max(0.0, (end - up) / (1 - up)) : 0;
}

double in_the_end(double now, double share) {
  return now + std::max(0.0, 1 - now) * share;
}

}  // namespace

bool still_rises(const Inspections& seen) {
  const auto fit = fit_emergence(seen);
  return fit && !fit->settled;
}

Outlook outlook_of(const Estimate& now, std::span<const Course> courses) {
  double seeds = 0, rising = 0;
  Estimate coming;
  for (const Course& course : courses) {
    const Inspections& seen = course.seen;
    if (seen.came_up.back() < 1) continue;
    seeds += seen.sown;
    if (still_rises(seen)) {
      rising += seen.sown;
      continue;
    }
    const Estimate end = forecast_final_rate(seen, course.design_effect);
    const double up = course.standing.value_or(seen.came_up.back()) / seen.sown;
    coming.estimate += seen.sown * still_coming(end.estimate, up);
    coming.low += seen.sown * still_coming(end.low, up);
    coming.high += seen.sown * still_coming(end.high, up);
  }
  if (seeds <= 0) return {};
  if (2 * rising >= seeds) return {std::nullopt, true};
  const double told = seeds - rising;
  return {Estimate{in_the_end(now.estimate, coming.estimate / told), in_the_end(now.low, coming.low / told),
                   in_the_end(now.high, coming.high / told), now.method + ", and what still comes"},
          false};
}

}  // namespace braird
