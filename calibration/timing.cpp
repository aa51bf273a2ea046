// SPDX-License-Identifier: Apache-2.0
#include "calibration/timing.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kDoubtOfTable = 0.15;
constexpr double kNearlyAll = 0.95;
constexpr double kCoolC = 15, kWarmC = 25;  // where trays usually stand, if nothing is told
constexpr std::array<std::array<double, 2>, 4> kSteepness = {{{5, .2}, {8, .3}, {12, .3}, {18, .2}}};

void normalise(std::vector<Timing>& timings) {
  double sum = 0;
  for (const Timing& timing : timings) sum += timing.weight;
  for (Timing& timing : timings) timing.weight /= sum;
}

// ln of the chance that those up at the end came up in the intervals they did.
double log_chance(const Timing& timing, const Inspections& seen) {
  double sum = 0, before = 0, up_before = 0;
  const double whole = timing.share_up(seen.times.back());
  for (std::size_t at = 0; at < seen.times.size(); ++at) {
    const double up = timing.share_up(seen.times[at]), newly = seen.came_up[at] - before;
    if (newly > 0) sum += newly * std::log(std::max((up - up_before) / whole, 1e-12));
    before = seen.came_up[at];
    up_before = up;
  }
  return sum;
}

}  // namespace

double Timing::share_up(double day) const {
  if (half_days <= 0) return 1;
  return day > 0 ? 1 / (1 + std::pow(half_days / day, steepness)) : 0;
}

std::vector<Timing> timings_around(double days, double doubt) {
  require(days > 0, "days to emergence", days, "> 0");
  require(doubt > 0, "doubt of the days to emergence", doubt, "> 0");
  std::vector<Timing> timings;
  for (int step = -4; step <= 4; ++step) {
    const double z = step / 2.;
    for (const auto& [steepness, weight] : kSteepness)
      timings.push_back({days * std::exp(z * doubt), steepness, weight * std::exp(-z * z / 2)});
  }
  normalise(timings);
  return timings;
}

std::vector<Timing> timings_of(const CropProfile& crop, std::optional<double> soil_c) {
  if (soil_c) {
    const auto days = days_to_emergence(crop, *soil_c);
    return days ? timings_around(*days, kDoubtOfTable) : std::vector<Timing>{};
  }
  const auto cool = days_to_emergence(crop, kCoolC), warm = days_to_emergence(crop, kWarmC);
  if (!cool && !warm) return {};
  const double slow = std::log(cool.value_or(warm.value_or(0))),
               quick = std::log(warm.value_or(cool.value_or(0)));
  return timings_around(std::exp((slow + quick) / 2), std::hypot((slow - quick) / 3, 2 * kDoubtOfTable));
}

std::vector<Timing> weighed_by(std::vector<Timing> timings, const Inspections& seen, double effect) {
  check(seen);
  require(effect >= 1, "design effect", effect, "≥ 1");
  const double up = seen.came_up.empty() ? 0 : seen.came_up.back();
  if (up < 1 || seen.times.size() < 2) return timings;
  if (timings.empty()) timings = timings_around(time_of(seen, up / 2), 0.5);
  double best = -1e300;
  std::vector<double> logs;
  for (const Timing& timing : timings) {
    logs.push_back(log_chance(timing, seen) / effect);
    best = std::max(best, logs.back());
  }
  for (std::size_t at = 0; at < timings.size(); ++at) timings[at].weight *= std::exp(logs[at] - best);
  normalise(timings);
  return timings;
}

double share_up(const std::vector<Timing>& timings, double day) {
  double up = 0;
  for (const Timing& timing : timings) up += timing.weight * timing.share_up(day);
  return std::min(up, 1.);  // weights add up to one but for rounding
}

double day_when_up(const std::vector<Timing>& timings, double share) {
  require(!timings.empty(), "number of courses", timings.size(), "> 0");
  require(share > 0 && share < 1, "share", share, "between 0 and 1");
  double early = 0, late = 1;
  while (share_up(timings, late) < share && late < 1e4) late *= 2;
  for (int step = 0; step < 50; ++step) {
    const double middle = (early + late) / 2;
    (share_up(timings, middle) < share ? early : late) = middle;
  }
  return late;
}

double day_when_nearly_all_up(const std::vector<Timing>& timings) {
  return std::ceil(day_when_up(timings, kNearlyAll) - 1e-6);
}

}  // namespace braird
