// SPDX-License-Identifier: Apache-2.0
// Figures drawn: each an <svg> with a name that says its content for those who can't see it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calibration/germination_times.h"
#include "calibration/interval.h"

namespace braird::report {

/// A share to compare a rate with, as the pack's.
struct Mark {
  double share = 0;  ///< 0..1
  std::string words;
};

/// A rate with its interval on a line from 0 to 100 % (or to 2, 3 … a seed for seed clusters).
std::string rate_bar(const std::string& name, const Estimate& rate, const std::vector<Mark>& marks = {});

/// How many cells hold 0, 1, 2 … seedlings, beside what chance alone makes of the same seeds. `seeds` a cell,
/// ≥ 1.
struct CountSpread {
  std::vector<int> cells;         ///< [k] = cells with k seedlings
  std::vector<double> by_chance;  ///< likewise, expected if seeds fail one by one; empty: not drawn
};
CountSpread count_spread(const std::vector<int>& counts, int seeds);
std::string spread_plot(const CountSpread& spread);

/// Seedlings up by day, the likeliest course through them, and how many there will be in the end, if that
/// rate is known.
std::string course_plot(const Inspections& seen, const std::optional<Estimate>& rate);

/// One sowing of a lot's history.
struct TrendPoint {
  std::string sown_on;
  Estimate germination;
};
std::string trend_plot(const std::vector<TrendPoint>& sowings, const std::vector<Mark>& marks);

}  // namespace braird::report
