// SPDX-License-Identifier: Apache-2.0
#include "calibration/join_counts.h"

#include <algorithm>
#include <random>
#include <stdexcept>
#include <string_view>

#include "near.h"

using namespace braird;

namespace {

// Hopkins' plant counts, inner 32 x 32 quadrats: Upton & Fingleton 1985, Spatial Data Analysis by Example,
// Table 3.4.
constexpr std::string_view kHopkins =
    "41201001000310102100000011201200"
    "01113210110020000010411101113000"
    "02121001112310000120004111100100"
    "20142111122101320000101000002000"
    "30010040000000000000011020000000"
    "00122410430010000010002202000000"
    "04422400120220001002200010001000"
    "44200111120102100200010100000000"
    "30010020310030010110000001000000"
    "01211100001000000000201010010001"
    "20200000000140100000002010000000"
    "03001200100121000000100001002000"
    "32300000020000000120020100000000"
    "00112001013000010210011100200130"
    "00021200110000100000000002001000"
    "00002002012021000010300110000100"
    "21121300001000110013100000111000"
    "10001001130000000003421000000300"
    "21000010111120000022000110010240"
    "01012000000010000000011001100220"
    "01401104000001001211020100101130"
    "00000004100121100110300000011140"
    "00202000003010000000001000010220"
    "11000003000000100000000101001312"
    "02111001004000000020000200000111"
    "00000201000002000000120000101222"
    "20001000001201000020000010104003"
    "10000000000000000112201014100121"
    "01000000000000001010000110000100"
    "00000000000000120010010020210320"
    "01000000000000000100001140100100"
    "00000000000001001010241233002020";

constexpr Layout kQuadrats{32, 32};

std::vector<int> labels_of(std::string_view digits) {
  std::vector<int> labels;
  for (const char digit : digits) labels.push_back(digit - '0');
  return labels;
}

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
  check_count(with(Contact::rook, 1, 1), {303, 254.40, 108.21, 4.6721, 2});
  check_count(with(Contact::rook, 0, 1), {817, 913.33, 420.91, -4.6953, 2});
  check_count(with(Contact::queen, 1, 1), {583, 500.85, 235.94, 5.3484, 2});
  check_count(with(Contact::queen, 0, 1), {1636, 1798.12, 840.35, -5.5924, 2});
}

TEST_CASE("recomputed with spdep: a toy tray of 5 x 5, 1 = gap") {
  const auto gaps = labels_of("1100011000010010000000011");
  const Layout toy{5, 5};
  CHECK(joins(toy, Contact::rook).size() == 40);
  check_count(join_count(gaps, toy, Contact::rook, 1, 1), {6, 3.7333, 1.9650, 1.6170, 4});
  check_count(join_count(gaps, toy, Contact::rook, 0, 0), {22, 18.1333, 3.0294, 2.2216, 4});
  check_count(join_count(gaps, toy, Contact::rook, 1, 0), {12, 18.1333, 7.2689, -2.2749, 4});
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

TEST_CASE("join counts refuse nonsense") {
  CHECK_THROWS_AS(join_count(std::vector<int>{1, 0}, {3, 3}, Contact::rook, 1, 1), std::invalid_argument);
  CHECK_THROWS_AS(join_count(std::vector<int>{1, -1, -1, 0}, {2, 2}, Contact::rook, 1, 1),
                  std::invalid_argument);
  CHECK_THROWS_AS(joins({0, 3}, Contact::rook), std::invalid_argument);
  CHECK_THROWS_AS(runs_test(std::vector<int>{}), std::invalid_argument);
  CHECK_THROWS_AS(chance_of_run(0, 2, 3), std::invalid_argument);
  CHECK_THROWS_AS(chance_of_run(1, 4, 3), std::invalid_argument);
}
