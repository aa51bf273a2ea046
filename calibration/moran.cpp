// SPDX-License-Identifier: Apache-2.0
#include "calibration/moran.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "calibration/require.h"

namespace braird {
namespace {

// Cliff & Ord's sums over the weights: all, of squares of both ways, of squares of each cell's total.
struct WeightSums {
  double all = 0, both_ways = 0, totals = 0;
};

WeightSums sums_of(std::span<const Neighbour> neighbours, std::size_t cells) {
  WeightSums sums;
  std::map<std::pair<int, int>, double> both;
  std::vector<double> totals(cells);
  for (const auto& [from, to, weight] : neighbours) {
    sums.all += weight;
    both[std::minmax(from, to)] += weight;
    totals[static_cast<std::size_t>(from)] += weight;
    totals[static_cast<std::size_t>(to)] += weight;
  }
  for (const auto& [pair, weight] : both) sums.both_ways += weight * weight;
  for (const double total : totals) sums.totals += total * total;
  return sums;
}

struct Deviations {
  std::vector<double> of;
  double squares = 0, kurtosis = 0;
};

Deviations deviations(std::span<const double> values) {
  const double n = static_cast<double>(values.size());
  const double mean = std::accumulate(values.begin(), values.end(), 0.0) / n;
  Deviations off;
  double fourth = 0;
  for (const double value : values) {
    const double square = (value - mean) * (value - mean);
    off.of.push_back(value - mean);
    off.squares += square;
    fourth += square * square;
  }
  require(off.squares > 0, "spread of the numbers", off.squares, "> 0");
  off.kurtosis = n * fourth / (off.squares * off.squares);
  return off;
}

void check(std::span<const double> values, std::span<const Neighbour> neighbours) {
  require(values.size() >= 4, "number of cells", values.size(), "≥ 4");
  for (const auto& [from, to, weight] : neighbours) {
    require(std::min(from, to) >= 0 && std::max(from, to) < std::ssize(values), "place of a neighbour",
            std::max(from, to), "in the list");
    require(weight >= 0, "weight", weight, "≥ 0");
  }
}

}  // namespace

std::vector<Neighbour> neighbours_of(std::span<const std::pair<int, int>> joins) {
  std::vector<Neighbour> neighbours;
  for (const auto& [one, other] : joins) {
    neighbours.push_back({one, other, 1});
    neighbours.push_back({other, one, 1});
  }
  return neighbours;
}

std::vector<Neighbour> row_standardised(std::vector<Neighbour> neighbours) {
  std::map<int, double> totals;
  for (const Neighbour& neighbour : neighbours) totals[neighbour.from] += neighbour.weight;
  for (Neighbour& neighbour : neighbours)
    if (totals[neighbour.from] > 0) neighbour.weight /= totals[neighbour.from];
  return neighbours;
}

MoranIndex moran_index(std::span<const double> values, std::span<const Neighbour> neighbours) {
  check(values, neighbours);
  const Deviations off = deviations(values);
  const auto [s0, s1, s2] = sums_of(neighbours, values.size());
  require(s0 > 0, "sum of the weights", s0, "> 0");
  double products = 0;
  for (const auto& [from, to, weight] : neighbours)
    products += weight * off.of[static_cast<std::size_t>(from)] * off.of[static_cast<std::size_t>(to)];
  const double n = static_cast<double>(values.size()), square = s0 * s0;
  MoranIndex moran;
  moran.index = n / s0 * products / off.squares;
  moran.expected = -1 / (n - 1);
  const double expected_square = moran.expected * moran.expected;
  moran.normal_variance = (n * n * s1 - n * s2 + 3 * square) / (square * (n * n - 1)) - expected_square;
  const double plain = n * ((n * n - 3 * n + 3) * s1 - n * s2 + 3 * square);
  const double peaked = off.kurtosis * ((n * n - n) * s1 - 2 * n * s2 + 6 * square);
  moran.shuffled_variance = (plain - peaked) / ((n - 1) * (n - 2) * (n - 3) * square) - expected_square;
  moran.z = (moran.index - moran.expected) / std::sqrt(moran.shuffled_variance);
  moran.normal_z = (moran.index - moran.expected) / std::sqrt(moran.normal_variance);
  return moran;
}

}  // namespace braird
