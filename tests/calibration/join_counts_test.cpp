// SPDX-License-Identifier: Apache-2.0
#include "calibration/join_counts.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <stdexcept>
#include <string_view>

#include "columbus.h"
#include "hopkins.h"
#include "near.h"

using namespace braird;
using namespace braird::test;

namespace {

// 1 = occupied, 0 = empty.
std::vector<int> occupied(std::string_view digits) {
  auto labels = labels_of(digits);
  for (int& label : labels) label = label > 0;
  return labels;
}

struct Printed {
  double seen, mean, variance, z;
  int digits, z_digits = 4;
};

void check_count(const JoinCount& got, const Printed& printed) {
  CHECK(got.seen == printed.seen);
  CHECK_PRINTS(got.expected.mean, printed.mean, printed.digits);
  CHECK_PRINTS(got.expected.variance, printed.variance, printed.digits);
  CHECK_PRINTS(got.z, printed.z, printed.z_digits);
}

}  // namespace

TEST_CASE("published: Hopkins' join counts, Upton & Fingleton 1985, Tables 3.4, 3.6 and 3.7") {
  const auto plants = labels_of(kHopkins);
  auto like = [&](Contact contact, int a, int b) { return join_count(plants, kQuadrats, contact, a, b); };
  CHECK(joins(kQuadrats, Contact::rook).size() == 1984);
  check_count(like(Contact::rook, 0, 0), {864, 816.27273, 116.05233, 4.4304, 5});
  check_count(like(Contact::rook, 1, 1), {94, 87.14015, 55.25216, .9229, 5});
  check_count(like(Contact::rook, 2, 2), {18, 18.00379, 14.81562, -.0010, 5});
  check_count(like(Contact::rook, 4, 4), {5, 1.04545, .99845, 3.9576, 5});
  check_count(like(Contact::rook, 1, 0), {503, 535.05682, 227.76750, -2.1241, 5});
  check_count(like(Contact::bishop, 0, 0), {823, 790.76420, 144.44877, 2.6821, 5});
  check_count(like(Contact::queen, 0, 0), {1687, 1607.0369, 303.8034, 4.5877, 4});
  check_count(unlike_joins(plants, kQuadrats, Contact::rook), {1001, 1059.89015, 273.78610, -3.5591, 5});
  check_count(unlike_joins(plants, kQuadrats, Contact::bishop), {973, 1026.76858, 284.51030, -3.1877, 5});
  check_count(unlike_joins(plants, kQuadrats, Contact::queen), {1974, 2086.6587, 582.8326, -4.6665, 4});
}

TEST_CASE("recomputed with spdep: Hopkins' quadrats as empty or occupied") {
  const auto taken = occupied(kHopkins);
  auto with = [&](Contact contact, int a, int b) { return join_count(taken, kQuadrats, contact, a, b); };
  check_count(with(Contact::rook, 0, 0), {864, 816.27273, 116.05233, 4.4304, 5});
  check_count(with(Contact::queen, 0, 0), {1687, 1607.0369, 303.8034, 4.5877, 4});
  check_count(with(Contact::rook, 1, 1), {303, 254.40, 108.21, 4.6721, 2});
  check_count(with(Contact::rook, 0, 1), {817, 913.33, 420.91, -4.6953, 2});
  check_count(with(Contact::queen, 1, 1), {583, 500.85, 235.94, 5.3484, 2});
  check_count(with(Contact::queen, 0, 1), {1636, 1798.12, 840.35, -5.5924, 2});
}

TEST_CASE("published: Hopkins' plants, how many quadrats hold how many") {
  const auto plants = labels_of(kHopkins);
  double sum = 0, squares = 0;
  std::vector<int> quadrats(5);
  for (const int here : plants) {
    sum += here, squares += here * here;
    ++quadrats[static_cast<std::size_t>(here)];
  }
  CHECK(quadrats == std::vector<int>{657, 215, 98, 30, 24});
  const double mean = sum / 1024, variance = (squares - sum * mean) / 1023;
  CHECK(sum == 597);
  CHECK_PRINTS(mean, .583008, 6);
  CHECK_PRINTS(variance, .892419, 6);
  CHECK_PRINTS(variance / mean, 1.530715, 6);
}

TEST_CASE("published: Columbus' quiet and rough quarters, as spdep's documentation prints them") {
  std::vector<int> rough;  // crimes above 35 a thousand households
  for (const double crime : kColumbusCrime) rough.push_back(crime > 35);
  auto given = [&](int a, int b) { return join_count(rough, kColumbusBorders, a, b); };
  check_count(given(0, 0), {34, 29.592, 18.895, 1.0141, 3});
  check_count(given(1, 1), {54, 27.224, 17.888, 6.3307, 3});
  check_count(given(0, 1), {28, 59.184, 26.233, -6.0884, 3});
  auto free = [&](int a, int b) { return join_count(rough, kColumbusBorders, a, b, Sampling::free); };
  check_count(free(0, 0), {34, 30.19575, 90.76809, .3993, 5});
  check_count(free(1, 1), {54, 27.8284, 84.2198, 2.8518, 4});
}

TEST_CASE("recomputed with spdep: a toy tray of 5 x 5, 1 = gap") {
  const auto gaps = labels_of(kToyGaps);
  const Layout toy{5, 5};
  CHECK(joins(toy, Contact::rook).size() == 40);
  check_count(join_count(gaps, toy, Contact::rook, 1, 1), {6, 3.7333, 1.9650, 1.6170, 4});
  check_count(join_count(gaps, toy, Contact::rook, 0, 0), {22, 18.1333, 3.0294, 2.2216, 4});
  check_count(join_count(gaps, toy, Contact::rook, 1, 0), {12, 18.1333, 7.2689, -2.2749, 4});
  const auto pairs = joins(toy, Contact::rook);
  CHECK_PRINTS(join_count(gaps, pairs, 0, 0, Sampling::free).z, .65226, 5);
  CHECK_PRINTS(join_count(gaps, pairs, 1, 1, Sampling::free).z, .67889, 5);
}

TEST_CASE("identity: m x n trays have 2mn - m - n rook joins and 4mn - 3m - 3n + 2 queen joins") {
  CHECK(joins({8, 13}, Contact::rook).size() == 187);
  CHECK(joins({8, 13}, Contact::queen).size() == 355);
  // A staggered tray: along each row, and two from every cell to the next row, less one at alternate ends.
  CHECK(joins({22, 12, LatticeKind::staggered}, Contact::six).size() == 22 * 11 + 21 * 23);
  CHECK(touching(LatticeKind::staggered) == Contact::six);
}

TEST_CASE("identity: every staggered join spans at most one pitch") {
  for (const auto& [from, to] : joins({5, 6, LatticeKind::staggered}, Contact::six)) {
    auto across = [](int at) { return at % 6 + 0.5 * (at / 6 % 2); };
    const double step = std::abs(across(from) - across(to));
    CHECK(step == (from / 6 == to / 6 ? 1 : 0.5));
  }
}

TEST_CASE("simulation: the moments hold for a tray with cells left out") {
  std::vector<int> labels(48, 0);
  std::fill_n(labels.begin(), 12, 1);
  std::fill_n(labels.begin() + 40, 8, -1);
  const Layout layout{6, 8, LatticeKind::staggered};
  std::mt19937 random(2);
  std::shuffle(labels.begin(), labels.end(), random);
  std::vector<std::size_t> known;
  for (std::size_t at = 0; at < labels.size(); ++at)
    if (labels[at] >= 0) known.push_back(at);
  const Spread expected = join_count(labels, layout, Contact::six, 1, 1).expected;
  double sum = 0, squares = 0;
  const int runs = 5000;
  for (int run = 0; run < runs; ++run) {
    for (std::size_t at = known.size() - 1; at > 0; --at)
      std::swap(labels[known[at]], labels[known[random() % (at + 1)]]);
    const double seen = join_count(labels, layout, Contact::six, 1, 1).seen;
    sum += seen, squares += seen * seen;
  }
  CHECK(expected.mean == doctest::Approx(sum / runs).epsilon(.03));
  CHECK(expected.variance == doctest::Approx(squares / runs - sum / runs * sum / runs).epsilon(.06));
}

TEST_CASE("simulation: free sampling has the moments of cells that are empty on their own") {
  std::mt19937 random(3);
  const auto pairs = joins({5, 6, LatticeKind::staggered}, Contact::six);
  std::vector<int> labels(30);
  std::fill_n(labels.begin(), 6, 1);  // share .2
  const Spread alike = join_count(labels, pairs, 1, 1, Sampling::free).expected;
  const Spread mixed = join_count(labels, pairs, 0, 1, Sampling::free).expected;
  double alike_sum = 0, alike_squares = 0, mixed_sum = 0, mixed_squares = 0;
  const int runs = 20000;
  for (int run = 0; run < runs; ++run) {
    for (int& label : labels) label = std::uniform_real_distribution<>()(random) < .2;
    double both = 0, one = 0;
    for (const auto& [from, to] : pairs) {
      const int sum = labels[static_cast<std::size_t>(from)] + labels[static_cast<std::size_t>(to)];
      both += sum == 2, one += sum == 1;
    }
    alike_sum += both, alike_squares += both * both, mixed_sum += one, mixed_squares += one * one;
  }
  auto variance = [&](double sum, double squares) { return squares / runs - sum / runs * sum / runs; };
  CHECK(alike.mean == doctest::Approx(alike_sum / runs).epsilon(.03));
  CHECK(alike.variance == doctest::Approx(variance(alike_sum, alike_squares)).epsilon(.06));
  CHECK(mixed.mean == doctest::Approx(mixed_sum / runs).epsilon(.03));
  CHECK(mixed.variance == doctest::Approx(variance(mixed_sum, mixed_squares)).epsilon(.06));
}

TEST_CASE("join counts refuse nonsense") {
  CHECK_THROWS_AS(join_count(std::vector<int>{1, 0}, {3, 3}, Contact::rook, 1, 1), std::invalid_argument);
  CHECK_THROWS_AS(join_count(std::vector<int>{1, -1, -1, 0}, {2, 2}, Contact::rook, 1, 1),
                  std::invalid_argument);
  CHECK_THROWS_AS(joins({0, 3}, Contact::rook), std::invalid_argument);
  CHECK_THROWS_AS(join_count(std::vector<int>(5), std::vector<std::pair<int, int>>{{0, 5}}, 0, 0),
                  std::invalid_argument);
  CHECK_THROWS_AS(runs_test(std::vector<int>{}), std::invalid_argument);
  CHECK_THROWS_AS(chance_of_run(0, 2, 3), std::invalid_argument);
  CHECK_THROWS_AS(chance_of_run(1, 4, 3), std::invalid_argument);
}
