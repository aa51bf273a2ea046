// SPDX-License-Identifier: Apache-2.0
// Runs of equal cells.
#include <algorithm>
#include <cmath>
#include <string_view>

#include "calibration/join_counts.h"
#include "hopkins.h"
#include "near.h"

using namespace braird;
using namespace braird::test;

TEST_CASE("recomputed: runs tests") {
  auto check_runs = [](std::string_view sequence, double runs, double mean, double variance, double z) {
    const JoinCount got = runs_test(labels_of(sequence));
    CHECK(got.seen == runs);
    CHECK(got.expected.mean == doctest::Approx(mean).epsilon(1e-6));
    CHECK(got.expected.variance == doctest::Approx(variance).epsilon(1e-6));
    CHECK_PRINTS(got.z, z, 5);
  };
  check_runs("1111000111001111", 5, 7.875, 2.692708, -1.75204);
  check_runs("11111111110000000000", 2, 11, 4.736842, -4.13521);
  check_runs("1011110111111011110111111101", 11, 9.214286, 2.194822, 1.20535);
}

TEST_CASE("published: runs above the median of LEW.DAT, NIST/SEMATECH e-Handbook 1.3.5.13: Z = 2.6938") {
  // Deflections of a steel-concrete beam, H. S. Lew 1969; the data file of the handbook.
  const std::vector<int> deflection = {
      -213, -564, -35,  -15,  141,  115,  -420, -360, 203,  -338, -431, 194,  -220, -513, 154,  -125, -559,
      92,   -21,  -579, -52,  99,   -543, -175, 162,  -457, -346, 204,  -300, -474, 164,  -107, -572, -8,
      83,   -541, -224, 180,  -420, -374, 201,  -236, -531, 83,   27,   -564, -112, 131,  -507, -254, 199,
      -311, -495, 143,  -46,  -579, -90,  136,  -472, -338, 202,  -287, -477, 169,  -124, -568, 17,   48,
      -568, -135, 162,  -430, -422, 172,  -74,  -577, -13,  92,   -534, -243, 194,  -355, -465, 156,  -81,
      -578, -64,  139,  -449, -384, 193,  -198, -538, 110,  -44,  -577, -6,   66,   -552, -164, 161,  -460,
      -344, 205,  -281, -504, 134,  -28,  -576, -118, 156,  -437, -381, 200,  -220, -540, 83,   11,   -568,
      -160, 172,  -414, -408, 188,  -125, -572, -32,  139,  -492, -321, 205,  -262, -504, 142,  -83,  -574,
      0,    48,   -571, -106, 137,  -501, -266, 190,  -391, -406, 194,  -186, -553, 83,   -13,  -577, -49,
      103,  -515, -280, 201,  300,  -506, 131,  -45,  -578, -80,  138,  -462, -361, 201,  -211, -554, 32,
      74,   -533, -235, 187,  -372, -442, 182,  -147, -566, 25,   68,   -535, -244, 194,  -351, -463, 174,
      -125, -570, 15,   72,   -550, -190, 172,  -424, -385, 198,  -218, -536, 96,
  };
  auto sorted = deflection;
  std::ranges::sort(sorted);
  const double median = (sorted[99] + sorted[100]) / 2.;
  std::vector<int> above;
  for (const int value : deflection) above.push_back(value > median);
  const JoinCount runs = runs_test(above);
  CHECK(runs.seen == 120);
  CHECK(runs.expected.mean == 101);
  CHECK_PRINTS(runs.z, 2.6938, 4);
}

TEST_CASE("identity: the chance of a run by counting all arrangements") {
  const int cells = 12, empty = 5;
  for (int length = 1; length <= 6; ++length) {
    double all = 0, with_run = 0;
    for (unsigned mask = 0; mask < (1u << cells); ++mask) {
      int longest = 0, now = 0, gaps = 0;
      for (int at = 0; at < cells; ++at) {
        const bool gap = mask >> at & 1u;
        gaps += gap;
        now = gap ? now + 1 : 0;
        longest = std::max(longest, now);
      }
      if (gaps != empty) continue;
      ++all;
      with_run += longest >= length;
    }
    CAPTURE(length);
    CHECK(chance_of_run(length, empty, cells) == doctest::Approx(with_run / all));
  }
}

TEST_CASE("closed form: chances of runs where many or few cells are empty") {
  CHECK(chance_of_run(2, 300, 400) == doctest::Approx(1));  // 101 places for 300 gaps
  CHECK(chance_of_run(1, 1, 400) == doctest::Approx(1));
  CHECK(chance_of_run(10, 10, 400) == doctest::Approx(391 / 2.5798e19).epsilon(1e-3));  // of 400 over 10
  CHECK(chance_of_run(3, 2, 400) == 0);
}

TEST_CASE("a run that is certain, or nearly, has a chance that rounding takes no further") {
  for (int cells = 1; cells <= 60; ++cells)
    for (int empty = cells / 2; empty <= cells; ++empty)
      for (int length = 1; length <= empty; ++length) {
        const double chance = chance_of_run(length, empty, cells);
        REQUIRE(chance > 0);
        REQUIRE(chance <= 1);
      }
}

TEST_CASE("chances of runs go on smoothly where they are no longer reckoned cell by cell") {
  const double in_full = chance_of_run(20, 1000, 5990), beyond = chance_of_run(20, 1000, 6010);
  CHECK(in_full < 1e-9);
  CHECK(beyond / in_full == doctest::Approx(std::pow(5990 / 6010., 19)).epsilon(.01));
  CHECK(chance_of_run(2, 5000, 100000) == 1);
  CHECK(chance_of_run(5001, 5000, 100000) == 0);
}
