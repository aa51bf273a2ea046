// SPDX-License-Identifier: Apache-2.0
#include "calibration/interval.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <utility>
#include <vector>

#include "near.h"

using namespace braird;
using braird::test::check_prints;

namespace {

// Newcombe RG 1998, Stat Med 17:857-872, Table I, from memory and recomputed; the Jeffreys and Agresti-Coull
// columns were computed with R 4.2.2.
struct NewcombeRow {
  double count, n;
  Interval wilson, wilson_cc, clopper_pearson, mid_p, jeffreys, agresti_coull;
};
constexpr std::array<NewcombeRow, 4> kNewcombe = {{
    {81, 263, {.2553, .3662}, {.2535, .3682}, {.2527, .3676}, {.2544, .3658}, {.2545, .3656}, {.2552, .3663}},
    {15, 148, {.0624, .1605}, {.0598, .1644}, {.0578, .1617}, {.0601, .1581}, {.0604, .1576}, {.0614, .1615}},
    {0, 20, {0, .1611}, {0, .2005}, {0, .1684}, {0, .1391}, {0, .1166}, {-.0287, .1898}},
    {1, 29, {.0061, .1718}, {.0018, .1963}, {.0009, .1776}, {.0017, .1585}, {.0037, .1501}, {-.0084, .1863}},
}};

// The textbook interval, here only to show what it would have said.
Interval wald(double count, double n) {
  const double p = count / n;
  const double reach = normal_quantile_two_sided(0.95) * std::sqrt(p * (1 - p) / n);
  return {p - reach, p + reach};
}

// Exact chance that the method's 95 % interval holds p, for n independent seeds.
template <typename Method>
double coverage(double p, int n, Method method) {
  double chance = 0;
  for (int count = 0; count <= n; ++count) {
    const Interval limits = method(count, n);
    if (limits.low <= p && p <= limits.high)
      chance += std::exp(std::lgamma(n + 1) - std::lgamma(count + 1) - std::lgamma(n - count + 1) +
                         count * std::log(p) + (n - count) * std::log1p(-p));
  }
  return chance;
}

}  // namespace

TEST_CASE("published: Newcombe's four rows, each by every method") {
  for (const NewcombeRow& row : kNewcombe) {
    CAPTURE(row.count);
    check_prints(wilson(row.count, row.n), row.wilson, 4);
    check_prints(wilson_cc(row.count, row.n), row.wilson_cc, 4);
    check_prints(clopper_pearson(row.count, row.n), row.clopper_pearson, 4);
    check_prints(mid_p(row.count, row.n), row.mid_p, 4);
    check_prints(jeffreys(row.count, row.n), row.jeffreys, 4);
    check_prints(agresti_coull(row.count, row.n), row.agresti_coull, 4);
  }
}

TEST_CASE("published: the textbook interval of Newcombe's Table I, which is never used") {
  check_prints(wald(81, 263), {.2522, .3638}, 4);
  check_prints(wald(0, 20), {0, 0}, 4);
  check_prints(wald(15, 148), {.0527, .1500}, 4);
  check_prints(wald(1, 29), {-.0319, .1009}, 4);
}

TEST_CASE("published: SciPy's documentation of binomtest, 7 of 50") {
  const Interval exact = clopper_pearson(7, 50);
  CHECK(exact.low == doctest::Approx(0.05819170033997342).epsilon(1e-11));
  CHECK(exact.high == doctest::Approx(0.26739600249700846).epsilon(1e-11));
  check_prints(wilson(7, 50), {.0695, .2619}, 4);
  check_prints(wilson_cc(7, 50), {.0628, .2736}, 4);
}

TEST_CASE("published: R's prop.test on 340 of 400 (r-help 2007)") {
  check_prints(wilson_cc(340, 400), {0.8103309, 0.8827749}, 7);
  check_prints(wilson(340, 400), {.8117, .8817}, 4);
  check_prints(clopper_pearson(340, 400), {.8112, .8835}, 4);
}

TEST_CASE(
    "published: NIST/SEMATECH e-Handbook 7.2.4.1, 4 of 20 at 90 % (from memory; last digit recomputed)") {
  check_prints(clopper_pearson(4, 20, 0.90), {.071354, .401028}, 6);
}

TEST_CASE("recomputed with R: tray-sized counts") {
  check_prints(wilson(98, 104), {.8798, .9733}, 4);
  check_prints(clopper_pearson(98, 104), {.8787, .9785}, 4);
  check_prints(mid_p(98, 104), {.8839, .9763}, 4);
  check_prints(jeffreys(98, 104), {.8850, .9756}, 4);
  CHECK_PRINTS(wilson(104, 104).low, .9644, 4);
  CHECK_PRINTS(clopper_pearson(104, 104).low, .9652, 4);
  CHECK_PRINTS(wilson(0, 104).high, .0356, 4);
  CHECK_PRINTS(clopper_pearson(0, 104).high, .0348, 4);
  check_prints(wilson(16, 20), {.5840, .9193}, 4);
  check_prints(clopper_pearson(16, 20), {.5634, .9427}, 4);
}

TEST_CASE(
    "published: exact coverage, Brown, Cai & DasGupta 2001 (paper read; numbers from memory, recomputed)") {
  struct Row {
    double p;
    int n;
    double wald, wilson, exact, jeffreys, agresti;
  };
  for (const Row& row :
       {Row{.5, 17, .951, .951, .951, .951, .951}, Row{.5, 40, .919, .9615, .9615, .9615, .9615},
        Row{.2, 30, .946, .9639, .9800, .9302, .9639}, Row{.2, 98, .928, .9576, .9690, .9422, .9576},
        Row{.005, 591, .945, .9691, .9892, .9174, .9691}, Row{.005, 592, .792, .9688, .9891, .9174, .9688},
        Row{.005, 953, .948, .9678, .9678, .9275, .9678}, Row{.005, 954, .852, .9677, .9677, .9275, .9677}}) {
    CAPTURE(row.n);
    const int digits = row.n == 17 ? 3 : 4;
    auto with = [](auto method) { return [method](double x, double n) { return method(x, n, 0.95); }; };
    CHECK_PRINTS(coverage(row.p, row.n, wald), row.wald, 3);
    CHECK_PRINTS(coverage(row.p, row.n, with(wilson)), row.wilson, digits);
    CHECK_PRINTS(coverage(row.p, row.n, with(clopper_pearson)), row.exact, digits);
    CHECK_PRINTS(coverage(row.p, row.n, with(jeffreys)), row.jeffreys, digits);
    CHECK_PRINTS(coverage(row.p, row.n, with(agresti_coull)), row.agresti, digits);
  }
}

TEST_CASE("recomputed: mean and least coverage over all rates (Brown, Cai & DasGupta 2001, figures)") {
  struct Row {
    int n;
    double wald, wilson, exact, jeffreys, agresti;                    // mean
    double least_wilson, least_exact, least_jeffreys, least_agresti;  // 0: not printed
  };
  auto summary = [](int n, auto method) {
    double sum = 0, least = 1;
    std::vector<Interval> limits;
    for (int count = 0; count <= n; ++count) limits.push_back(method(count, n));
    for (int step = 0; step < 1000; ++step) {
      const double held = coverage(step / 1000. + .0005, n,
                                   [&](int count, int) { return limits[static_cast<std::size_t>(count)]; });
      sum += held, least = std::min(least, held);
    }
    return std::pair(sum / 1000, least);
  };
  auto with = [](auto method) { return [method](double x, double n) { return method(x, n, 0.95); }; };
  for (const Row& row : {Row{50, .9006, .9515, .9691, .9502, .9581, .839, .951, .885, .935},
                         Row{104, .9232, .9510, .9644, .9499, .9555, 0, .9505, .910, .939},
                         Row{20, .8458, .9529, .9770, .9514, .9618, 0, 0, 0, 0}}) {
    CAPTURE(row.n);
    CHECK_PRINTS(summary(row.n, wald).first, row.wald, 4);
    auto check = [&](auto method, double mean, double least, int digits) {
      const auto [got_mean, got_least] = summary(row.n, method);
      CHECK_PRINTS(got_mean, mean, 4);
      if (least > 0) CHECK_PRINTS(got_least, least, digits);
    };
    check(with(wilson), row.wilson, row.least_wilson, 3);
    check(with(clopper_pearson), row.exact, row.least_exact, row.n == 104 ? 4 : 3);
    check(with(jeffreys), row.jeffreys, row.least_jeffreys, 3);
    check(with(agresti_coull), row.agresti, row.least_agresti, 3);
  }
  CHECK_PRINTS(summary(50, wald).second, .025, 3);
  CHECK_PRINTS(summary(104, with(wilson)).second, .855459, 6);  // SciPy's; our notes have .856
}

TEST_CASE("identity: a score interval gives back its count and its number of seeds") {
  // Newcombe 1998, Table I: 81/263 .2553-.3662, 15/148 .0624-.1605, 0/20 0-.1611, 1/29 .0061-.1718.
  for (const auto& [count, n] :
       std::vector<std::pair<double, double>>{{81, 263}, {15, 148}, {0, 20}, {1, 29}}) {
    CAPTURE(n);
    const auto sample = wilson_sample(wilson(count, n));
    REQUIRE(sample);
    CHECK(sample->count == doctest::Approx(count).epsilon(1e-6).scale(1));
    CHECK(sample->n == doctest::Approx(n).epsilon(1e-6));
  }
  CHECK(wilson_sample({.2553, .3662})->n == doctest::Approx(263).epsilon(.005));
  CHECK_FALSE(wilson_sample({0, 1}));
  CHECK(wilson_sample({.07, 1})->n < 1);
  CHECK_THROWS_WITH_AS(wilson_sample({.5, .5}), "lower limit is 0.5, but must be below the upper one",
                       std::invalid_argument);
}

TEST_CASE("identity: more confidence and fewer seeds make every interval wider") {
  for (auto method : {wilson, wilson_cc, clopper_pearson, mid_p, jeffreys, blaker, sterne}) {
    const Interval sure = method(30, 40, .99), usual = method(30, 40, .95), many = method(120, 160, .95);
    CHECK(sure.low < usual.low);
    CHECK(sure.high > usual.high);
    CHECK(many.low > usual.low);
    CHECK(many.high < usual.high);
  }
}

TEST_CASE("identity: Blaker's limits lie inside Clopper and Pearson's, and both exact sets hold every rate") {
  for (const int n : {1, 5, 12, 31}) {
    std::vector<Interval> blakers, sternes;
    for (int count = 0; count <= n; ++count) {
      const Interval wide = clopper_pearson(count, n);
      blakers.push_back(blaker(count, n));
      sternes.push_back(sterne(count, n));
      CHECK(blakers.back().low >= wide.low - 1e-12);
      CHECK(blakers.back().high <= wide.high + 1e-12);
    }
    auto of = [](const std::vector<Interval>& limits) {
      return [&](int count, int) { return limits[static_cast<std::size_t>(count)]; };
    };
    for (const double p : {.03, .2, .5, .87}) {
      CAPTURE(n);
      CAPTURE(p);
      CHECK(coverage(p, n, of(blakers)) >= .95);
      CHECK(coverage(p, n, of(sternes)) >= .95);
    }
  }
}

TEST_CASE("identity: swapping seedlings and failures mirrors every interval") {
  for (auto method : {wilson, wilson_cc, clopper_pearson, mid_p, jeffreys, agresti_coull, blaker, sterne})
    for (double count : {0.0, 1.0, 7.5, 8.0, 19.0, 20.0}) {
      CAPTURE(count);
      if (count == 7.5 && (method == blaker || method == sterne)) continue;
      const Interval up = method(count, 20, 0.9), down = method(20 - count, 20, 0.9);
      CHECK(up.low == doctest::Approx(1 - down.high));
      CHECK(up.high == doctest::Approx(1 - down.low));
    }
}

TEST_CASE("nonsense gets one sentence that names the culprit") {
  CHECK_THROWS_WITH_AS(wilson(3, 0), "n is 0, but must be > 0", std::invalid_argument);
  CHECK_THROWS_WITH_AS(mid_p(-1, 5), "count is -1, but must be between 0 and n", std::invalid_argument);
  CHECK_THROWS_WITH_AS(jeffreys(6, 5), "count is 6, but must be between 0 and n", std::invalid_argument);
  CHECK_THROWS_WITH_AS(clopper_pearson(1, 5, 1), "confidence is 1, but must be between 0 and 1",
                       std::invalid_argument);
  CHECK_THROWS_AS(agresti_coull(std::nan(""), 5), std::invalid_argument);
  CHECK_THROWS_WITH_AS(blaker(2.5, 5), "count or n is 2.5, but must be whole", std::invalid_argument);
  CHECK_THROWS_AS(sterne(3, 2), std::invalid_argument);
  CHECK_THROWS_WITH_AS(wilson_for_z(1, 5, 0), "z is 0, but must be > 0", std::invalid_argument);
  CHECK_THROWS_WITH_AS(wilson_with_error(1, 5, 2, -.1), "error is -0.1, but must be ≥ 0",
                       std::invalid_argument);
  CHECK_THROWS_AS(t_quantile(5, 0), std::invalid_argument);
}
