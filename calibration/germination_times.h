// SPDX-License-Identifier: Apache-2.0
// When did the seeds come up, how fast, and how evenly?
//
// The classic indices, each as its authors define it. All speak of the seeds that did come up: a lot of which
// half never comes may still have a short mean time. Times are in whatever unit was put in (days, hours),
// counted from sowing; a seed found at an inspection counts as having come up then (the indices' own
// convention), except for the percentiles, which are interpolated inside the interval.
#pragma once

#include <span>
#include <vector>

namespace braird {

/// What was seen over time. Inspections at which nothing new stood belong in it: they bound the intervals.
struct Inspections {
  double sown = 0;              ///< seeds
  std::vector<double> times;    ///< rising, > 0, from sowing
  std::vector<double> came_up;  ///< in all, up to each time; never falling, at most `sown`
};

/// Throws std::invalid_argument with one sentence if times or counts are not as said above.
void check(const Inspections& seen);

/// Inspections from the number newly come up at each.
Inspections from_new_counts(double sown, std::vector<double> times, std::span<const double> newly);

/// The counts made never to fall, by averaging neighbours that do (pool adjacent violators; Barlow et al.
/// 1972): photos of one tray miss a seedling now and then. Others are returned unchanged.
std::vector<double> never_falling(std::span<const double> counts);

struct GerminationTimes {
  double germinated = 0;  ///< N, in all
  double t50_coolbear =
      0;  ///< when (N + 1) / 2 were up; Coolbear, Francis & Grierson 1984, J Exp Bot 35:1609-1617
  double t50_farooq = 0;    ///< when N / 2 were up; Farooq et al. 2005, J Integr Plant Biol 47:187-193
  double t10 = 0, t90 = 0;  ///< when 10 % and 90 % of N were up; t90 − t10 is the spread that growers see
  double mean_time = 0;     ///< Σ n t / N; Ellis & Roberts 1981, Seed Sci Technol 9:373-409
  double variance = 0;      ///< of the times, over N − 1; 0 for a single seed
  double mean_rate = 0;     ///< 1 / mean_time
  double velocity = 0;      ///< coefficient of velocity, 100 / mean_time
  double rate_index = 0;    ///< Σ (percent of the sown) / t
  double speed = 0;         ///< Σ n / t; Maguire 1962, Crop Sci 2:176-177
  double synchrony = 0;     ///< Z, chance that two seeds came up at the same inspection, 0..1
  double uncertainty = 0;   ///< U, in bits; 0 where all came up at once
  double uniformity = 0;    ///< N / Σ n (mean − t)²; infinite where all came up at once
};                          // synchrony, uncertainty, uniformity: Ranal & Santana 2006, Rev Bras Bot 29:1-11

/// The indices of a series in which at least one seed came up. Throws std::invalid_argument otherwise, or
/// like check.
GerminationTimes germination_times(const Inspections& seen);

/// When was this number up? Interpolated inside the interval that holds it. 0 < count ≤ came_up.back().
double time_of(const Inspections& seen, double count);

}  // namespace braird
