// SPDX-License-Identifier: Apache-2.0
#include "calibration/multiple_tests.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kBesideTheSum = 1e-18;

// Where the p-values stand, smallest first.
std::vector<std::size_t> rising(std::span<const double> p_values) {
  for (const double p : p_values) require(p >= 0 && p <= 1, "p-value", p, "between 0 and 1");
  std::vector<std::size_t> order(p_values.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return p_values[a] < p_values[b]; });
  return order;
}

void check(const Part& part) {
  require(part.cells >= part.part_cells && part.part_cells >= 0, "cells of the part", part.part_cells,
          "between 0 and those of the tray");
  require(part.empty >= part.part_empty && part.part_empty >= 0, "empty cells of the part", part.part_empty,
          "between 0 and those of the tray");
  require(part.cells - part.empty >= part.part_cells - part.part_empty, "filled cells of the part",
          part.part_cells - part.part_empty, "at most those of the tray");
}

double log_choices(int of, int some) {
  return std::lgamma(of + 1.) - std::lgamma(some + 1.) - std::lgamma(of - some + 1.);
}

// Hypergeometric chance of just so many empty cells in the part. Boost's, which multiplies by primes in long
// doubles, took half the time of a whole report.
double chance_of(const Part& part) {
  return std::exp(log_choices(part.empty, part.part_empty) +
                  log_choices(part.cells - part.empty, part.part_cells - part.part_empty) -
                  log_choices(part.cells, part.part_cells));
}

// Both walk away from what is expected, where chances only fall.
double sum_upwards(const Part& part) {
  double chance = chance_of(part), sum = 0;
  for (double k = part.part_empty; chance > sum * kBesideTheSum; ++k) {
    sum += chance;
    chance *= (part.empty - k) * (part.part_cells - k) / (k + 1) /
              (part.cells - part.empty - part.part_cells + k + 1);
  }
  return sum;
}

double sum_downwards(const Part& part) {
  double chance = chance_of(part), sum = 0;
  for (double k = part.part_empty; chance > sum * kBesideTheSum; --k) {
    sum += chance;
    chance *= k * (part.cells - part.empty - part.part_cells + k) / (part.empty - k + 1) /
              (part.part_cells - k + 1);
  }
  return sum;
}

Part moved(Part part, int by) {
  part.part_empty += by;
  return part;
}

bool more_than_expected(const Part& part) {
  return static_cast<double>(part.part_empty) * part.cells >=
         static_cast<double>(part.empty) * part.part_cells;
}

}  // namespace

std::vector<double> holm(std::span<const double> p_values) {
  std::vector<double> adjusted(p_values.size());
  double highest = 0, left = static_cast<double>(p_values.size());
  for (const std::size_t at : rising(p_values)) {
    highest = std::max(highest, std::min(1.0, left * p_values[at]));
    adjusted[at] = highest;
    --left;
  }
  return adjusted;
}

std::vector<double> false_discovery_rate(std::span<const double> p_values) {
  std::vector<double> adjusted(p_values.size());
  const auto order = rising(p_values);
  const double all = static_cast<double>(p_values.size());
  double lowest = 1;
  for (std::size_t rank = order.size(); rank > 0; --rank) {
    lowest = std::min(lowest, p_values[order[rank - 1]] * all / static_cast<double>(rank));
    adjusted[order[rank - 1]] = lowest;
  }
  return adjusted;
}

double chance_of_more(const Part& part) {
  check(part);
  if (part.part_empty <= std::max(0, part.empty + part.part_cells - part.cells)) return 1;
  return more_than_expected(part) ? std::min(1., sum_upwards(part)) : 1 - sum_downwards(moved(part, -1));
}

double chance_of_fewer(const Part& part) {
  check(part);
  if (part.part_empty >= std::min(part.empty, part.part_cells)) return 1;
  return more_than_expected(part) ? 1 - sum_upwards(moved(part, 1)) : std::min(1., sum_downwards(part));
}

}  // namespace braird
