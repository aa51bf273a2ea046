// SPDX-License-Identifier: Apache-2.0
#include "coverage_trials.h"

#include <algorithm>
#include <random>
#include <vector>

#include "calibration/checked_cells.h"
#include "calibration/overdispersion.h"
#include "calibration/rates.h"
#include "photo_counter.h"
#include "trays.h"

namespace braird::test {
namespace {

bool holds(const Estimate& rate, double truth) {
  return rate.low <= truth && truth <= rate.high;
}

std::vector<CellReading> photographed(const std::vector<CellCount>& tray, Random& random) {
  return cell_readings(read_by(any_counter(tray, random), tray, random), tray[0].seeds);
}

// A tray's own rate in a lot whose trays differ by a beta spread of ρ.
double tray_rate(double p, double rho, Random& random) {
  if (rho <= 0) return p;
  const double sum = 1 / rho - 1;
  const double a = std::gamma_distribution<>(p * sum)(random),
               b = std::gamma_distribution<>((1 - p) * sum)(random);
  return std::clamp(a / (a + b), 1e-9, 1 - 1e-9);
}

}  // namespace

std::vector<Setting> settings() {
  std::vector<Setting> all;
  for (const int seeds : {1, 2, 3, 4, 6})
    for (const int cells : {20, 72, 128, 300})
      for (const double p : {.5, .7, .8, .9, .95, .99})
        for (const double rho : {0., .05, .15})
          if (seeds > 1 || rho == 0) all.push_back({seeds, cells, p, rho});
  return all;
}

bool has_gaps(const Setting& s) {
  return beta_binomial_chances(s.seeds, s.p, s.rho)[0] * s.cells >= 1;
}

bool germination_holds(const Setting& s, double p, Random& random) {
  return holds(germination_rate(grown_tray(s.cells, s.seeds, p, s.rho, random)), p);
}

bool gaps_hold(const Setting& s, double p, Random& random) {
  const double truth = beta_binomial_chances(s.seeds, p, s.rho)[0];
  return holds(gap_rate(grown_tray(s.cells, s.seeds, p, s.rho, random)), truth);
}

bool naive_holds(const Setting& s, double p, Random& random) {
  double up = 0;
  for (const CellCount& cell : grown_tray(s.cells, s.seeds, p, s.rho, random)) up += cell.seedlings;
  const Interval limits = wilson(up, s.seeds * s.cells);
  return limits.low <= p && p <= limits.high;
}

bool photo_holds(const Setting& s, double p, Random& random) {
  return holds(germination_rate(photographed(grown_tray(s.cells, s.seeds, p, s.rho, random), random)), p);
}

bool photo_gaps_hold(const Setting& s, double p, Random& random) {
  const double truth = beta_binomial_chances(s.seeds, p, s.rho)[0];
  const auto states = as_states(grown_tray(s.cells, s.seeds, p, s.rho, random));
  return holds(gap_rate(photographed(states, random)), truth);
}

bool mild_photo_gaps_hold(const Setting& s, double p, Random& random) {
  const double truth = beta_binomial_chances(s.seeds, p, s.rho)[0];
  return holds(gap_rate(photographed(grown_tray(s.cells, s.seeds, p, s.rho, random), random)), truth);
}

bool bare_counts_hold(const Setting& s, double p, Random& random) {
  auto readings = photographed(grown_tray(s.cells, s.seeds, p, s.rho, random), random);
  for (CellReading& reading : readings) reading.off = 0;
  return holds(germination_rate(readings), p);
}

Trial corrected_trial(int checked) {
  return [=](const Setting& s, double p, Random& random) {
    const auto tray = grown_tray(s.cells, s.seeds, p, s.rho, random);
    Lot lot;
    lot.readings.push_back(photographed(tray, random));
    for (std::size_t cell = 0; cell < std::min(static_cast<std::size_t>(checked), tray.size()); ++cell)
      lot.checked.push_back({0, cell, tray[cell].seedlings});
    return holds(checked_germination_rate(lot), p);
  };
}

Trial pooled_trial(int trays, double rho) {
  return [=](const Setting& s, double p, Random& random) {
    std::vector<std::vector<CellReading>> lot;
    for (int tray = 0; tray < trays; ++tray)
      lot.push_back(cell_readings(grown_tray(s.cells, s.seeds, tray_rate(p, rho, random), s.rho, random)));
    return holds(pooled_germination_rate(lot), p);
  };
}

}  // namespace braird::test
