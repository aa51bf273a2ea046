// SPDX-License-Identifier: Apache-2.0
#include "calibration/germination_times.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "calibration/require.h"

namespace braird {
namespace {

std::vector<double> new_counts(const Inspections& seen) {
  std::vector<double> newly;
  double before = 0;
  for (const double now : seen.came_up) newly.push_back(now - std::exchange(before, now));
  return newly;
}

void add_sums(GerminationTimes& of, const Inspections& seen, std::span<const double> newly) {
  for (std::size_t at = 0; at < newly.size(); ++at) {
    const double share = newly[at] / of.germinated;
    of.mean_time += share * seen.times[at];
    of.speed += newly[at] / seen.times[at];
    of.synchrony += newly[at] * (newly[at] - 1);
    if (share > 0) of.uncertainty -= share * std::log2(share);
  }
  const double pairs = of.germinated * (of.germinated - 1);
  of.synchrony = pairs > 0 ? of.synchrony / pairs : 1;
}

}  // namespace

void check(const Inspections& seen) {
  require(seen.sown > 0, "seeds sown", seen.sown, "> 0");
  require(!seen.times.empty(), "number of inspections", seen.times.size(), "> 0");
  require(seen.times.size() == seen.came_up.size(), "number of counts", seen.came_up.size(),
          "one per inspection");
  double time = 0, count = 0;
  for (std::size_t at = 0; at < seen.times.size(); ++at) {
    require(seen.times[at] > time, "time of an inspection", seen.times[at],
            "after the one before it, and after sowing");
    require(seen.came_up[at] >= count, "number come up", seen.came_up[at],
            "at least that of the inspection before it");
    time = seen.times[at];
    count = seen.came_up[at];
  }
  require(count <= seen.sown, "number come up", count, "at most the seeds sown");
}

Inspections from_new_counts(double sown, std::vector<double> times, std::span<const double> newly) {
  Inspections seen{sown, std::move(times), {}};
  double sum = 0;
  for (const double count : newly) {
    require(count >= 0, "number newly come up", count, "≥ 0");
    seen.came_up.push_back(sum += count);
  }
  check(seen);
  return seen;
}

std::vector<double> never_falling(std::span<const double> counts) {
  struct Level {
    double sum;
    std::size_t many;
    double mean() const { return sum / static_cast<double>(many); }
  };
  std::vector<Level> levels;
  for (const double count : counts) {
    levels.push_back({count, 1});
    while (levels.size() > 1 && levels.back().mean() < levels[levels.size() - 2].mean()) {
      const Level last = levels.back();
      levels.pop_back();
      levels.back().sum += last.sum;
      levels.back().many += last.many;
    }
  }
  std::vector<double> risen;
  for (const Level& level : levels) risen.insert(risen.end(), level.many, level.mean());
  return risen;
}

double time_of(const Inspections& seen, double count) {
  check(seen);
  require(count > 0 && count <= seen.came_up.back(), "number come up", count,
          "above 0 and at most those seen");
  double time = 0, before = 0;
  std::size_t at = 0;
  while (seen.came_up[at] < count) {
    time = seen.times[at];
    before = seen.came_up[at++];
  }
  return time + (count - before) * (seen.times[at] - time) / (seen.came_up[at] - before);
}

GerminationTimes germination_times(const Inspections& seen) {
  check(seen);
  GerminationTimes of;
  of.germinated = seen.came_up.back();
  require(of.germinated >= 1, "number come up", of.germinated, "≥ 1");
  const auto newly = new_counts(seen);
  add_sums(of, seen, newly);
  double squares = 0;
  for (std::size_t at = 0; at < newly.size(); ++at)
    squares += newly[at] * std::pow(seen.times[at] - of.mean_time, 2);
  if (of.germinated > 1) of.variance = squares / (of.germinated - 1);
  of.uniformity = of.germinated / squares;
  of.mean_rate = 1 / of.mean_time;
  of.velocity = 100 / of.mean_time;
  of.rate_index = 100 * of.speed / seen.sown;
  of.t50_coolbear = time_of(seen, (of.germinated + 1) / 2);
  of.t50_farooq = time_of(seen, of.germinated / 2);
  of.t10 = time_of(seen, .1 * of.germinated);
  of.t90 = time_of(seen, .9 * of.germinated);
  return of;
}

}  // namespace braird
