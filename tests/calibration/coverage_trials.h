// SPDX-License-Identifier: Apache-2.0
// Trials of the default intervals: a tray or a lot is drawn, and asked whether its interval holds the truth.
#pragma once

#include <functional>
#include <random>
#include <vector>

namespace braird::test {

using Random = std::mt19937_64;

/// What is drawn: seeds a cell, cells a tray, the share `p` that comes up, and the correlation `rho` in a
/// cell.
struct Setting {
  int seeds, cells;
  double p, rho;
};

/// All settings of the promise: p from 0.5 to 0.99, 1 to 6 seeds, 20 to 300 cells, ρ from 0 to 0.15.
std::vector<Setting> settings();

/// With less than one gap to be expected, counts are so few that no method covers near the nominal share.
bool has_gaps(const Setting& s);

/// One draw with `p` for the setting's own: does the interval hold the truth?
using Trial = std::function<bool(const Setting&, double p, Random&)>;

// Hand counts.
bool germination_holds(const Setting& s, double p, Random& random);
bool gaps_hold(const Setting& s, double p, Random& random);

/// Wilson over seeds, as if each were alone: what the default is there to replace.
bool naive_holds(const Setting& s, double p, Random& random);

// Photos.
bool photo_holds(const Setting& s, double p, Random& random);
bool photo_gaps_hold(const Setting& s, double p, Random& random);

/// A counter whose errors are of single seeds: where a cell has several, few of them make or hide a gap,
/// though it doubts as many. Milder than what was measured.
bool mild_photo_gaps_hold(const Setting& s, double p, Random& random);

/// The same photo's numbers, taken for a hand count.
bool bare_counts_hold(const Setting& s, double p, Random& random);

/// The same photo, its rate corrected by so many cells checked by hand.
Trial corrected_trial(int checked);

/// A lot of so many trays counted by hand, which differ by a beta spread of `rho`.
Trial pooled_trial(int trays, double rho);

}  // namespace braird::test
