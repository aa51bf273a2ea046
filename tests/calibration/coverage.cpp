// SPDX-License-Identifier: Apache-2.0
// How often do the default intervals hold the truth? A simulation with a fixed seed, printed as Markdown; its
// output is kept in coverage.md. Run it after changing an interval:  calibration_coverage >
// tests/calibration/coverage.md
//
// Each setting is drawn many times. Counts are whole, so at one exact rate coverage jumps about from setting
// to setting (Brown, Cai & DasGupta 2001); "around p" therefore draws the true rate anew each time, within
// ±0.5 on the logit scale.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <limits>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "calibration/counter_error.h"
#include "calibration/overdispersion.h"
#include "calibration/rates.h"
#include "trays.h"

namespace braird::test {
namespace {

using Random = std::mt19937_64;

struct Setting {
  int seeds, cells;
  double p, rho;
};

constexpr int kRuns = 4000;

// All settings of the promise: p from 0.5 to 0.99, 1 to 6 seeds, 20 to 300 cells, ρ from 0 to 0.15.
std::vector<Setting> settings() {
  std::vector<Setting> all;
  for (const int seeds : {1, 2, 3, 4, 6})
    for (const int cells : {20, 72, 128, 300})
      for (const double p : {.5, .7, .8, .9, .95, .99})
        for (const double rho : {0., .05, .15})
          if (seeds > 1 || rho == 0) all.push_back({seeds, cells, p, rho});
  return all;
}

double near(double p, Random& random) {
  const double logit = std::log(p / (1 - p)) + std::uniform_real_distribution<>(-.5, .5)(random);
  return 1 / (1 + std::exp(-logit));
}

enum class Rate { at, around };

// One draw: does the interval hold the truth?
using Trial = std::function<bool(const Setting&, double p, Random&)>;

double coverage(const Setting& setting, Rate rate, const Trial& trial, Random& random) {
  int holds = 0;
  for (int run = 0; run < kRuns; ++run)
    holds += trial(setting, rate == Rate::at ? setting.p : near(setting.p, random), random);
  return static_cast<double>(holds) / kRuns;
}

bool holds(const Estimate& rate, double truth) {
  return rate.low <= truth && truth <= rate.high;
}

bool germination_holds(const Setting& s, double p, Random& random) {
  return holds(germination_rate(grown_tray(s.cells, s.seeds, p, s.rho, random)), p);
}

// With less than one gap to be expected, coverage is near 1 by any method.
bool has_gaps(const Setting& s) {
  return beta_binomial_chances(s.seeds, s.p, s.rho)[0] * s.cells >= 1;
}

bool gaps_hold(const Setting& s, double p, Random& random) {
  const double truth = beta_binomial_chances(s.seeds, p, s.rho)[0];
  return holds(gap_rate(grown_tray(s.cells, s.seeds, p, s.rho, random)), truth);
}

// Wilson over seeds, as if each were alone: what the default is there to replace.
bool naive_holds(const Setting& s, double p, Random& random) {
  double up = 0;
  for (const CellCount& cell : grown_tray(s.cells, s.seeds, p, s.rho, random)) up += cell.seedlings;
  const Interval limits = wilson(up, s.seeds * s.cells);
  return limits.low <= p && p <= limits.high;
}

// A counter that misses each seedling with chance 0.04 and sees one too many with chance 0.02.
std::vector<std::vector<double>> confusion(int seeds) {
  std::vector<std::vector<double>> seen_given(static_cast<std::size_t>(seeds) + 1);
  for (int truth = 0; truth <= seeds; ++truth) {
    auto& row = seen_given[static_cast<std::size_t>(truth)];
    row.assign(static_cast<std::size_t>(seeds) + 2, 0);
    const auto kept = beta_binomial_chances(truth, .96, 0);
    for (std::size_t k = 0; k < kept.size(); ++k) {
      row[k] += .98 * kept[k];
      row[k + 1] += .02 * kept[k];
    }
  }
  return seen_given;
}

// The tray as that counter reads it: a chance for each number, by Bayes' rule from what it saw and what it
// takes for usual.
bool readings_hold(const Setting& s, double p, double usual_rate, double usual_rho, Random& random) {
  const auto usual = beta_binomial_chances(s.seeds, usual_rate, usual_rho);
  const auto seen_given = confusion(s.seeds);
  Tray tray;
  for (const CellCount& cell : grown_tray(s.cells, s.seeds, p, s.rho, random)) {
    const auto seen =
        static_cast<std::size_t>(drawn(seen_given[static_cast<std::size_t>(cell.seedlings)], random));
    Cell reading;
    double sum = 0;
    for (std::size_t k = 0; k < usual.size(); ++k) sum += usual[k] * seen_given[k][seen];
    for (std::size_t k = 0; k < usual.size(); ++k)
      reading.probability.push_back(usual[k] * seen_given[k][seen] / sum);
    tray.cells.push_back(reading);
  }
  return holds(germination_rate(cell_readings(tray, s.seeds)), p);
}

bool fitting_counter_holds(const Setting& s, double p, Random& random) {
  return readings_hold(s, p, p, s.rho, random);
}

bool general_counter_holds(const Setting& s, double p, Random& random) {
  return readings_hold(s, p, .8, .1, random);
}

// The most probable number of each cell, taken for a hand count.
bool bare_counts_hold(const Setting& s, double p, Random& random) {
  const auto seen_given = confusion(s.seeds);
  std::vector<CellCount> cells;
  for (const CellCount& cell : grown_tray(s.cells, s.seeds, p, s.rho, random))
    cells.push_back(
        {std::min(s.seeds, drawn(seen_given[static_cast<std::size_t>(cell.seedlings)], random)), s.seeds});
  return holds(germination_rate(cells), p);
}

// The same counter's bare counts, corrected by 60 hand-checked cells.
bool corrected_holds(const Setting& s, double p, Random& random) {
  const auto seen_given = confusion(s.seeds);
  std::vector<CheckedCell> checked;
  std::vector<double> unchecked;
  for (const CellCount& cell : grown_tray(s.cells, s.seeds, p, s.rho, random)) {
    const double seen = drawn(seen_given[static_cast<std::size_t>(cell.seedlings)], random);
    if (checked.size() < 60)
      checked.push_back({static_cast<double>(cell.seedlings), seen});
    else
      unchecked.push_back(seen);
  }
  const Estimate mean = power_tuned_mean(checked, unchecked).mean;
  return mean.low <= p * s.seeds && p * s.seeds <= mean.high;
}

// Trays of a lot whose own rates differ by a beta spread of ρ = 0.02 between trays.
template <int Trays>
bool pooled_holds(const Setting& s, double p, Random& random) {
  const double sum = 1 / .02 - 1;
  std::vector<std::vector<CellReading>> lot;
  for (int tray = 0; tray < Trays; ++tray) {
    const double a = std::gamma_distribution<>(p * sum)(random),
                 b = std::gamma_distribution<>((1 - p) * sum)(random);
    lot.push_back(
        cell_readings(grown_tray(s.cells, s.seeds, std::clamp(a / (a + b), 1e-9, 1 - 1e-9), s.rho, random)));
  }
  return holds(pooled_germination_rate(lot), p);
}

struct Summary {
  double low = 1, high = 0, sum = 0;
  int settings = 0, inside = 0;

  void add(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
    sum += value;
    ++settings;
    inside += value >= .94 && value <= .97;
  }
};

void print_row(const std::string& name, const std::vector<Setting>& all, Rate rate, const Trial& trial) {
  Random random(20260319);
  Summary summary;
  for (const Setting& setting : all) summary.add(coverage(setting, rate, trial, random));
  std::printf("| %s | %s | %d | %.3f | %.3f | %.3f | %.0f %% |\n", name.c_str(),
              rate == Rate::at ? "at p" : "around p", summary.settings, summary.low,
              summary.sum / summary.settings, summary.high, 100. * summary.inside / summary.settings);
  std::fflush(stdout);
}

void print_by_size(const std::vector<Setting>& all) {
  std::map<std::pair<int, int>, Summary> by_size;
  Random random(4);
  for (const Setting& setting : all)
    by_size[{setting.seeds, setting.cells}].add(coverage(setting, Rate::around, germination_holds, random));
  std::printf("\n| seeds a cell | 20 cells | 72 cells | 128 cells | 300 cells |\n|---|---|---|---|---|\n");
  for (const int seeds : {1, 2, 3, 4, 6}) {
    std::printf("| %d ", seeds);
    for (const int cells : {20, 72, 128, 300}) {
      const Summary& summary = by_size[{seeds, cells}];
      std::printf("| %.3f-%.3f ", summary.low, summary.high);
    }
    std::printf("|\n");
  }
}

std::vector<Setting> only(const std::vector<Setting>& all, const std::function<bool(const Setting&)>& keep) {
  std::vector<Setting> kept;
  std::ranges::copy_if(all, std::back_inserter(kept), keep);
  return kept;
}

}  // namespace

void print_coverage() {
  const auto all = settings();
  const auto large = only(all, [](const Setting& s) { return s.cells >= 72 && s.p <= .95; });
  std::printf(
      "# Coverage of the 95 %% intervals\n\nSimulated by `calibration_coverage`: %d draws a setting "
      "(standard error "
      "0.0034), fixed seed; p 0.5…0.99, 1…6 seeds,\n20…300 cells, ρ 0…0.15. The last column is the share of "
      "settings between 0.94 and 0.97.\nThe simulated counter misses a seedling with chance 0.04 and sees "
      "one too many with chance 0.02.\n\n",
      kRuns);
  std::printf(
      "| interval | rate | settings | lowest | mean | highest | in 0.94…0.97 "
      "|\n|---|---|---|---|---|---|---|\n");
  print_row("**germination rate (default)**", all, Rate::around, germination_holds);
  print_row("germination rate (default)", all, Rate::at, germination_holds);
  print_row("Wilson over seeds (naive)", all, Rate::around, naive_holds);
  print_row("**gap rate (default)**, a gap or more expected", only(all, has_gaps), Rate::around, gaps_hold);
  print_row("counter's chances, trained on such trays", all, Rate::around, fitting_counter_holds);
  print_row("counter's chances, trained on others", all, Rate::around, general_counter_holds);
  print_row("counter's bare counts", all, Rate::around, bare_counts_hold);
  print_row("60 cells checked, ≥ 72 cells, p ≤ 0.95", large, Rate::around, corrected_holds);
  const auto trays = only(all, [](const Setting& s) { return s.cells == 72 && s.p <= .95; });
  print_row("2 trays, ρ 0.02 between them", trays, Rate::around, pooled_holds<2>);
  print_row("3 trays, ρ 0.02 between them", trays, Rate::around, pooled_holds<3>);
  print_row("8 trays, ρ 0.02 between them", trays, Rate::around, pooled_holds<8>);
  std::printf("\nGermination rate around p, lowest and highest over p and ρ:\n");
  print_by_size(all);
}

}  // namespace braird::test

int main() {
  braird::test::print_coverage();
}
