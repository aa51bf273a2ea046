// SPDX-License-Identifier: Apache-2.0
#include "calibration/standards.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "calibration/require.h"

namespace braird {
namespace {

// From this percentage up to the next entry before it, the tolerance is so many points.
struct Tolerance {
  int from = 0;
  int points = 0;
};

constexpr std::array<Tolerance, 16> kFourReplicates = {{{99, 5},
                                                        {98, 6},
                                                        {97, 7},
                                                        {96, 8},
                                                        {95, 9},
                                                        {93, 10},
                                                        {91, 11},
                                                        {89, 12},
                                                        {87, 13},
                                                        {84, 14},
                                                        {81, 15},
                                                        {78, 16},
                                                        {73, 17},
                                                        {67, 18},
                                                        {56, 19},
                                                        {51, 20}}};
constexpr std::array<Tolerance, 11> kTwoReplicates = {{{96, 6},
                                                       {95, 7},
                                                       {93, 8},
                                                       {91, 9},
                                                       {88, 10},
                                                       {84, 11},
                                                       {81, 12},
                                                       {76, 13},
                                                       {69, 14},
                                                       {55, 15},
                                                       {51, 16}}};
constexpr int kTwoReplicatesEnd = 97;

constexpr std::array<Tolerance, 10> kDifferentLabs = {
    {{99, 2}, {97, 3}, {94, 4}, {91, 5}, {87, 6}, {82, 7}, {76, 8}, {70, 9}, {60, 10}, {51, 11}}};
constexpr std::array<Tolerance, 7> kSameLab = {
    {{98, 2}, {95, 3}, {91, 4}, {85, 5}, {77, 6}, {60, 7}, {51, 8}}};
constexpr std::array<Tolerance, 6> kLabel = {{{96, 5}, {90, 6}, {80, 7}, {70, 8}, {60, 9}, {0, 10}}};

int look_up(std::span<const Tolerance> steps, int percent) {
  const auto step =
      std::ranges::find_if(steps, [&](const Tolerance& entry) { return percent >= entry.from; });
  return step == steps.end() ? steps.back().points : step->points;
}

// The tables are mirrored at the middle: 2 % failing is as 2 % germinating, read as 101 − mean.
int upper_half(int percent) {
  return percent <= 50 ? 101 - percent : percent;
}

void check_percent(int percent) {
  require(percent >= 0 && percent <= 100, "mean", percent, "between 0 and 100 %");
}

std::string say(const ReplicateVerdict& verdict) {
  const std::string apart = fmt::format("{} {}", verdict.range, verdict.range == 1 ? "point" : "points");
  if (!verdict.tolerance)
    return fmt::format("The replicates germinated {} % on average and differ by {}.", verdict.mean_percent,
                       apart);
  return fmt::format(
      "The replicates germinated {} % on average and differ by {}, where {} are tolerated: {}.",
      verdict.mean_percent, apart, *verdict.tolerance,
      verdict.acceptable ? "they agree" : "more than chance explains, so repeat the test");
}

constexpr int kPointsForHalfTheSeeds = 2;  // 7 CFR 201.54

}  // namespace

std::optional<int> replicate_tolerance(int mean_percent, int replicates) {
  check_percent(mean_percent);
  require(replicates == 2 || replicates == 4, "number of replicates", replicates, "2 or 4");
  const int percent = upper_half(mean_percent);
  if (percent > (replicates == 4 ? kFourReplicates.front().from : kTwoReplicatesEnd)) return std::nullopt;
  return replicates == 4 ? look_up(kFourReplicates, percent) : look_up(kTwoReplicates, percent);
}

ReplicateVerdict judge_replicates(std::span<const int> germinated_of_100) {
  for (const int count : germinated_of_100)
    require(count >= 0 && count <= 100, "replicate", count, "between 0 and 100");
  const int replicates = static_cast<int>(germinated_of_100.size());
  require(replicates == 2 || replicates == 4, "number of replicates", replicates, "2 or 4");
  const auto [low, high] = std::ranges::minmax(germinated_of_100);
  const int sum = std::accumulate(germinated_of_100.begin(), germinated_of_100.end(), 0);
  ReplicateVerdict verdict;
  verdict.mean_percent = (2 * sum + replicates) / (2 * replicates);
  verdict.range = high - low;
  verdict.tolerance = replicate_tolerance(verdict.mean_percent, replicates);
  verdict.acceptable = !verdict.tolerance || verdict.range <= *verdict.tolerance;
  verdict.sentence = say(verdict);
  return verdict;
}

int two_test_tolerance(int mean_percent, TestPair pair, int seeds) {
  check_percent(mean_percent);
  require(seeds == 200 || seeds == 400, "seeds tested", seeds, "200 or 400");
  if (pair == TestPair::label) return look_up(kLabel, mean_percent);
  const int percent = upper_half(mean_percent);
  if (pair == TestPair::same_lab) return look_up(kSameLab, percent);
  return look_up(kDifferentLabs, percent) + (seeds == 200 ? kPointsForHalfTheSeeds : 0);
}

}  // namespace braird
