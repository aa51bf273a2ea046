// SPDX-License-Identifier: Apache-2.0
#include "calibration/multiple_tests.h"

#include <algorithm>
#include <boost/math/distributions/hypergeometric.hpp>
#include <numeric>

#include "calibration/require.h"

namespace braird {
namespace {

// Where the p-values stand, smallest first.
std::vector<std::size_t> rising(std::span<const double> p_values) {
  for (const double p : p_values) require(p >= 0 && p <= 1, "p-value", p, "between 0 and 1");
  std::vector<std::size_t> order(p_values.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return p_values[a] < p_values[b]; });
  return order;
}

boost::math::hypergeometric_distribution<> spread_of(const Part& part) {
  require(part.cells >= part.part_cells && part.part_cells >= 0, "cells of the part", part.part_cells,
          "between 0 and those of the tray");
  require(part.empty >= part.part_empty && part.part_empty >= 0, "empty cells of the part", part.part_empty,
          "between 0 and those of the tray");
  require(part.cells - part.empty >= part.part_cells - part.part_empty, "filled cells of the part",
          part.part_cells - part.part_empty, "at most those of the tray");
  auto whole = [](int number) { return static_cast<unsigned>(number); };
  return {whole(part.empty), whole(part.part_cells), whole(part.cells)};
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
  const auto spread = spread_of(part);
  if (part.part_empty <= std::max(0, part.empty + part.part_cells - part.cells)) return 1;
  return std::clamp(boost::math::cdf(complement(spread, part.part_empty - 1)), 0.0, 1.0);
}

double chance_of_fewer(const Part& part) {
  const auto spread = spread_of(part);
  return std::clamp(boost::math::cdf(spread, part.part_empty), 0.0, 1.0);
}

}  // namespace braird
