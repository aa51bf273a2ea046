// SPDX-License-Identifier: Apache-2.0
#include "calibration/trays_over_days.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <random>
#include <vector>

#include "tests/times.h"

using namespace braird;
using namespace std::chrono_literals;

namespace {

struct GrownTrays {
  int rows, cols, seeds;
  double germination, misread;  // chances of a seed, and of a cell in a photo
  std::vector<int> days;
  int trays = 1;
};

// For each cell the day on which its first seedling is up.
std::vector<double> first_days(const GrownTrays& of, std::mt19937& random) {
  std::vector<double> days(static_cast<std::size_t>(of.rows * of.cols),
                           std::numeric_limits<double>::infinity());
  std::bernoulli_distribution comes(of.germination);
  std::normal_distribution<> on(5, 1.2);
  for (double& first : days)
    for (int seed = 0; seed < of.seeds; ++seed)
      if (comes(random)) first = std::min(first, on(random));
  return days;
}

Tray seen_on(int day, const std::vector<double>& first, const GrownTrays& of, std::mt19937& random) {
  Tray tray;
  tray.layout = {of.rows, of.cols};
  std::bernoulli_distribution misread(of.misread);
  for (const double up : first) tray.cells.emplace_back().count = (up <= day) != misread(random);
  return tray;
}

/// Are they held for as many trays as each day shows?
bool are_joined(const GrownTrays& of, bool same, std::mt19937& random) {
  std::vector<std::vector<double>> growing;
  for (int tray = 0; tray < of.trays; ++tray) growing.push_back(first_days(of, random));
  std::vector<Tray> trays;
  trays.reserve(of.days.size() * growing.size());
  Shots shots;
  for (const int day : of.days)
    for (auto& first : growing) {
      if (!same) first = first_days(of, random);
      trays.push_back(seen_on(day, first, of, random));
      shots.push_back(
          {&trays.back(), "", {}, std::chrono::sys_days(2026y / 5 / 1) + std::chrono::days(day), {}});
    }
  return !trays_over_days(shots).side_by_side;
}

double share_joined(const GrownTrays& of, bool same) {
  std::mt19937 random(7);
  const int draws = braird::test::times(400, 40);
  int joined = 0;
  for (int draw = 0; draw < draws; ++draw) joined += are_joined(of, same, random);
  return static_cast<double>(joined) / draws;
}

}  // namespace

TEST_CASE("simulation: one tray on several days is hardly ever taken for several") {
  for (const auto& of :
       {GrownTrays{8, 16, 1, .97, .015, {7, 9}}, GrownTrays{8, 16, 2, .9, .015, {7, 9}},
        GrownTrays{6, 12, 3, .9, .02, {6, 8, 10}}, GrownTrays{6, 12, 3, .95, .02, {5, 7, 8, 10}},
        GrownTrays{6, 12, 1, .95, .02, {7, 9}, 3}, GrownTrays{8, 16, 1, .8, .015, {7, 9}},
        GrownTrays{6, 12, 1, .7, .02, {5, 9}}})
    CHECK(share_joined(of, true) > .95);
}

TEST_CASE("simulation: several trays are seldom taken for one unless they are nearly full") {
  for (const auto& of : {GrownTrays{8, 16, 1, .9, .015, {7, 9}}, GrownTrays{8, 16, 1, .8, .015, {7, 9}},
                         GrownTrays{6, 12, 1, .85, .02, {7, 9}, 3}, GrownTrays{12, 24, 1, .95, .02, {7, 9}},
                         GrownTrays{6, 12, 1, .5, .02, {5, 9}, 2}})
    CHECK(share_joined(of, false) < .1);
}
