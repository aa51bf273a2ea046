// SPDX-License-Identifier: Apache-2.0
#include "calibration/moran.h"

#include <algorithm>
#include <numeric>
#include <random>
#include <stdexcept>

#include "calibration/join_counts.h"
#include "columbus.h"
#include "hopkins.h"
#include "near.h"

using namespace braird;
using namespace braird::test;

namespace {

std::vector<double> as_numbers(const std::vector<int>& labels) {
  return {labels.begin(), labels.end()};
}

std::vector<Neighbour> within(Layout layout, Contact contact) {
  return neighbours_of(joins(layout, contact));
}

}  // namespace

TEST_CASE("published: Moran's I of crime in Columbus, as spdep's documentation prints it (Anselin 1988)") {
  const auto borders = neighbours_of(kColumbusBorders);
  const MoranIndex rows = moran_index(kColumbusCrime, row_standardised(borders));
  CHECK_PRINTS(rows.index, .510951264, 9);
  CHECK_PRINTS(rows.expected, -.020833333, 9);
  CHECK_PRINTS(rows.shuffled_variance, .008908762, 9);
  CHECK_PRINTS(rows.z, 5.6341, 4);
  CHECK_PRINTS(rows.normal_variance, .008779831, 9);
  CHECK_PRINTS(rows.normal_z, 5.6754, 4);
  const MoranIndex plain = moran_index(kColumbusCrime, borders);
  CHECK_PRINTS(plain.index, .52063815, 8);
  CHECK_PRINTS(plain.shuffled_variance, .00759872, 8);
  CHECK_PRINTS(plain.z, 6.2116, 4);
}

TEST_CASE("recomputed with spdep: Hopkins' plants (Upton & Fingleton 1985, Table 3.4), counts and gaps") {
  const auto plants = as_numbers(labels_of(kHopkins));
  auto empty = plants;
  for (double& plant : empty) plant = plant == 0;
  const MoranIndex gaps = moran_index(empty, within(kQuadrats, Contact::rook));
  CHECK_PRINTS(gaps.index, .104868, 6);
  CHECK_PRINTS(gaps.expected, -.000977517, 9);
  CHECK_PRINTS(gaps.shuffled_variance, .00050290, 8);
  const MoranIndex queen_gaps = moran_index(empty, within(kQuadrats, Contact::queen));
  CHECK_PRINTS(queen_gaps.index, .089616, 6);
  CHECK_PRINTS(queen_gaps.shuffled_variance, .00025445, 8);
  const MoranIndex rook = moran_index(plants, within(kQuadrats, Contact::rook));
  CHECK_PRINTS(rook.index, .131315, 6);
  CHECK_PRINTS(rook.z, 5.9123, 4);
  const MoranIndex queen = moran_index(plants, within(kQuadrats, Contact::queen));
  CHECK_PRINTS(queen.index, .109776, 6);
  CHECK_PRINTS(queen.z, 6.9585, 4);
}

TEST_CASE("recomputed with spdep: a toy tray of 5 x 5, 1 = gap") {
  const MoranIndex toy = moran_index(as_numbers(labels_of(kToyGaps)), within({5, 5}, Contact::rook));
  CHECK_PRINTS(toy.index, .277574, 6);
  CHECK_PRINTS(toy.expected, -.041667, 6);
  CHECK_PRINTS(toy.shuffled_variance, .022621, 6);
  CHECK_PRINTS(toy.normal_variance, .021401, 6);
  CHECK_PRINTS(toy.z, 2.1226, 4);
}

TEST_CASE("handbook: what is expected of 104, 128 and 72 cells") {
  struct Row {
    Layout layout;
    double expected;
  };
  for (const Row& row : {Row{{8, 13}, -.009709}, Row{{8, 16}, -.007874}, Row{{6, 12}, -.014085}}) {
    std::vector<double> values(number_of_cells(row.layout));
    std::iota(values.begin(), values.end(), 0);
    CHECK_PRINTS(moran_index(values, within(row.layout, Contact::rook)).expected, row.expected, 6);
  }
}

TEST_CASE("identity: turning, scaling and shifting the numbers change nothing; a chessboard is −1") {
  const auto neighbours = within({6, 6}, Contact::rook);
  std::vector<double> board, slope;
  for (int at = 0; at < 36; ++at) {
    board.push_back((at / 6 + at % 6) % 2);
    slope.push_back(at / 6);
  }
  CHECK(moran_index(board, neighbours).index == doctest::Approx(-1));
  const MoranIndex once = moran_index(slope, neighbours);
  for (double& value : slope) value = 5 - 3 * value;
  CHECK(moran_index(slope, neighbours).index == doctest::Approx(once.index));
  CHECK(moran_index(slope, neighbours).z == doctest::Approx(once.z));
  CHECK(once.index > .7);
}

TEST_CASE("simulation: the shuffled moments are those of shuffled numbers") {
  std::vector<double> values = {0, 0, 0, 1, 2, 2, 3, 5, 8, 13, 1, 0};
  const auto neighbours = row_standardised(within({3, 4, LatticeKind::staggered}, Contact::six));
  const MoranIndex expected = moran_index(values, neighbours);
  std::mt19937 random(6);
  double sum = 0, squares = 0;
  const int runs = 20000;
  for (int run = 0; run < runs; ++run) {
    std::shuffle(values.begin(), values.end(), random);
    const double index = moran_index(values, neighbours).index;
    sum += index, squares += index * index;
  }
  // Three standard errors.
  const double mean = sum / runs, variance = expected.shuffled_variance;
  CHECK_WITHIN(mean, expected.expected, 3 * std::sqrt(variance / runs));
  CHECK_WITHIN(squares / runs - mean * mean, variance, 3 * variance * std::sqrt(2. / runs));
}

TEST_CASE("Moran's I refuses nonsense") {
  const std::vector<Neighbour> pair = {{0, 1, 1}};
  CHECK_THROWS_WITH_AS(moran_index(std::vector<double>{1, 2, 3}, pair),
                       "number of cells is 3, but must be ≥ 4", std::invalid_argument);
  CHECK_THROWS_WITH_AS(moran_index(std::vector<double>(4, 2.0), pair),
                       "spread of the numbers is 0, but must be > 0", std::invalid_argument);
  CHECK_THROWS_AS(moran_index(std::vector<double>{1, 2, 3, 4}, std::vector<Neighbour>{{0, 4, 1}}),
                  std::invalid_argument);
  CHECK_THROWS_AS(moran_index(std::vector<double>{1, 2, 3, 4}, std::vector<Neighbour>{}),
                  std::invalid_argument);
  CHECK_THROWS_AS(moran_index(std::vector<double>{1, 2, 3, 4}, std::vector<Neighbour>{{0, 1, -1}}),
                  std::invalid_argument);
}
