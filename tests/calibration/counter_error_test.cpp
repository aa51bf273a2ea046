// SPDX-License-Identifier: Apache-2.0
#include "calibration/counter_error.h"

#include <cmath>
#include <random>
#include <stdexcept>
#include <vector>

#include "near.h"

using namespace braird;
using braird::test::check_prints;

namespace {

// The double sample that runs through the tests: truth/counter 11 = 70, 10 = 10, 01 = 5, 00 = 15 checked
// cells, and 900 unchecked ones of which the counter called 680 full.
constexpr DoubleSample kSample{70, 10, 5, 15, 680, 900};

std::vector<CheckedCell> checked_cells() {
  std::vector<CheckedCell> cells(70, {1, 1});
  cells.insert(cells.end(), 10, {1, 0});
  cells.insert(cells.end(), 5, {0, 1});
  cells.insert(cells.end(), 15, {0, 0});
  return cells;
}

std::vector<double> unchecked_cells() {
  std::vector<double> cells(680, 1);
  cells.resize(900, 0);
  return cells;
}

}  // namespace

TEST_CASE(
    "published: Rogan & Gladen 1978 as printed by epidemiologists' software, 20 of 120, Se .90, Sp .99") {
  const Share seen{20, 120};
  const CounterAccuracy accuracy{.90, .99};
  const Estimate share = rogan_gladen(seen, accuracy);
  CHECK_PRINTS(share.estimate, .17603, 5);
  check_prints({share.low, share.high}, {.1011094, .2509506}, 7);
  check_prints(wilson(20, 120), {.1105600, .2434528}, 7);
  check_prints(corrected(wilson(20, 120), accuracy), {.1129887, .2623065}, 7);
  check_prints(clopper_pearson(20, 120), {.1048785, .2456}, 4);
  check_prints(corrected(clopper_pearson(20, 120), accuracy), {.1066051, .2647191}, 7);
  // Printed from Blaker's own program, which walks in from Clopper and Pearson's limits in steps of 0.0001
  // and stops before acceptance begins; ours begin there exactly.
  const Interval bounds = clopper_pearson(20, 120), set = blaker(20, 120);
  const Interval walked{bounds.low + 1e-4 * std::floor((set.low - bounds.low) / 1e-4),
                        bounds.high - 1e-4 * std::floor((bounds.high - set.high) / 1e-4)};
  check_prints(corrected(walked, accuracy), {.1069421, .2629214}, 7);
  check_prints(corrected(sterne(20, 120), accuracy), {.1088811, .2641333}, 7);
}

TEST_CASE("published: 23 of 150 with Se .96, Sp .89 is 5.1 %; 6 of 151 with Se .964, Sp .927 is none") {
  CHECK_PRINTS(rogan_gladen({23, 150}, {.96, .89}).estimate, .050980, 6);
  const Interval per_cent = corrected(blaker(23, 150), {.96, .89});
  CHECK_PRINTS(100 * per_cent.low, 0, 0);
  CHECK_PRINTS(100 * per_cent.high, 13, 0);
  CHECK(rogan_gladen({6, 151}, {.964, .927}).estimate == 0);
  CHECK_PRINTS(100 * corrected(clopper_pearson(6, 151), {.964, .927}).high, 1.3, 1);
}

TEST_CASE("published formula: Lang & Reiczigel 2014, 200 of 500, Se 180/200, Sp 190/200 (recomputed)") {
  const Estimate known = rogan_gladen({200, 500}, {.90, .95});
  CHECK_PRINTS(known.estimate, .411765, 6);
  const Estimate symmetrical = rogan_gladen_estimated({200, 500}, {180, 200, 190, 200});
  CHECK_PRINTS(symmetrical.estimate, .411765, 6);
  check_prints({symmetrical.low, symmetrical.high}, {.353500, .470029}, 6);
  CHECK_PRINTS((symmetrical.high - symmetrical.low) / (2 * normal_quantile_two_sided(.95)), .029727, 6);
  const Estimate share = lang_reiczigel({200, 500}, {180, 200, 190, 200});
  CHECK_PRINTS(share.estimate, .411765, 6);
  check_prints({share.low, share.high}, {.352744, .470855}, 6);
  CHECK(share.high - share.low > known.high - known.low);
}

TEST_CASE("published formula: Tenenbein 1970 on the double sample (formula from memory, recomputed)") {
  const TenenbeinFit fit = tenenbein(kSample);
  CHECK_PRINTS(fit.share.estimate, .802667, 6);
  CHECK_PRINTS(fit.false_negative, .122093, 6);
  CHECK_PRINTS(fit.false_positive, .255068, 6);
  CHECK_PRINTS(fit.reliability, .332181, 6);
  CHECK_PRINTS(fit.standard_error, .033323, 6);
}

TEST_CASE(
    "published: prediction-powered mean, plain and power-tuned (Angelopoulos et al. 2023; recomputed)") {
  const auto checked = checked_cells();
  const auto unchecked = unchecked_cells();
  const CorrectedMean plain = prediction_powered_mean(checked, unchecked);
  CHECK_PRINTS(plain.mean.estimate, .805556, 6);
  CHECK_PRINTS(plain.standard_error, .040990, 6);
  check_prints({plain.mean.low, plain.mean.high}, {.725216, .885895}, 6);
  const CorrectedMean tuned = power_tuned_mean(checked, unchecked);
  CHECK_PRINTS(tuned.trust, .48, 2);
  CHECK_PRINTS(tuned.mean.estimate, .802667, 6);
  CHECK_PRINTS(tuned.standard_error, .033456, 6);
  const CorrectedMean by_hand = power_tuned_mean(checked, {});
  CHECK(by_hand.mean.estimate == doctest::Approx(.80));
  CHECK_PRINTS(by_hand.standard_error, .0400, 4);
}

TEST_CASE("identity: a perfect counter needs no correction") {
  CHECK(rogan_gladen({30, 100}, {1, 1}).estimate == doctest::Approx(.3));
  const TenenbeinFit fit = tenenbein({60, 0, 0, 40, 630, 900});
  CHECK(fit.reliability == doctest::Approx(1));
  CHECK(fit.share.estimate == doctest::Approx(.69));
}

TEST_CASE("a counter that says the same of all cells earns no trust, though its variance is not quite 0") {
  std::vector<CheckedCell> checked(30, {1, 1 / 6. * 6 * .7});
  checked[4].truth = 5 / 6.;
  const CorrectedMean mean = power_tuned_mean(checked, std::vector<double>(42, .7));
  CHECK(mean.trust == 0);
  CHECK(mean.mean.estimate == doctest::Approx((29 + 5 / 6.) / 30));
}

TEST_CASE("a counter that says the contrary earns no trust") {
  const std::vector<CheckedCell> checked = {{0, 1}, {1, 0}, {0, 1}, {1, 0}, {1, 1}};
  CHECK(power_tuned_mean(checked, std::vector<double>(50, 1)).trust == 0);
}

TEST_CASE("a counter that knows nothing earns no trust") {
  std::vector<CheckedCell> checked = {{0, 3}, {1, 3}, {2, 3}, {1, 3}};
  const CorrectedMean mean = power_tuned_mean(checked, std::vector<double>(50, 3));
  CHECK(mean.trust == 0);
  CHECK(mean.mean.estimate == doctest::Approx(1));
}

TEST_CASE("simulation: push a known rate through a counter that errs and ask for it back") {
  std::mt19937 random(31);
  std::uniform_real_distribution<> chance;
  const double truth = .88, se = .95, sp = .9;
  int tuned_holds = 0, double_holds = 0, trial_holds = 0, naive_holds = 0;
  const int runs = 2000;
  for (int run = 0; run < runs; ++run) {
    auto grow = [&] { return chance(random) < truth; };
    auto count = [&](bool there) { return chance(random) < (there ? se : 1 - sp); };
    std::vector<CheckedCell> checked;
    std::vector<double> unchecked;
    DoubleSample cells;
    AccuracyTrial trial;
    for (int cell = 0; cell < 80; ++cell) {
      const bool there = grow(), seen = count(there);
      checked.push_back({there * 1.0, seen * 1.0});
      (there ? (seen ? cells.both : cells.only_truth) : (seen ? cells.only_counter : cells.neither)) += 1;
    }
    for (int cell = 0; cell < 500; ++cell) unchecked.push_back(count(grow()));
    for (const double seen : unchecked) cells.unchecked_yes += seen;
    cells.unchecked = 500;
    for (int cell = 0; cell < 150; ++cell) trial.detected += count(true), trial.cleared += !count(false);
    trial.present = trial.absent = 150;
    auto holds = [&](double low, double high) { return low <= truth && truth <= high; };
    const Estimate tuned = power_tuned_mean(checked, unchecked).mean;
    tuned_holds += holds(tuned.low, tuned.high);
    if (cells.only_truth + cells.neither > 0) {
      const Estimate both = tenenbein(cells).share;
      double_holds += holds(both.low, both.high);
    }
    const Share seen{cells.unchecked_yes, 500};
    const Estimate tried = lang_reiczigel(seen, trial);
    trial_holds += holds(tried.low, tried.high);
    const Interval naive = wilson(seen.count, seen.n);
    naive_holds += holds(naive.low, naive.high);
  }
  CHECK(tuned_holds / double(runs) > .92);
  CHECK(double_holds / double(runs) > .92);
  CHECK(trial_holds / double(runs) > .94);
  CHECK(naive_holds / double(runs) < .75);
}

TEST_CASE("counter errors refuse nonsense") {
  CHECK_THROWS_WITH_AS(rogan_gladen({1, 10}, {.4, .5}), "sensitivity + specificity is 0.9, but must be > 1",
                       std::invalid_argument);
  CHECK_THROWS_AS(rogan_gladen({1, 10}, {1.1, .9}), std::invalid_argument);
  CHECK_THROWS_AS(rogan_gladen({11, 10}, {.9, .9}), std::invalid_argument);
  CHECK_THROWS_AS(lang_reiczigel({1, 10}, {3, 2, 1, 2}), std::invalid_argument);
  CHECK_THROWS_AS(lang_reiczigel({1, 10}, {0, 0, 0, 0}), std::invalid_argument);
  CHECK_THROWS_AS(tenenbein({5, 0, 5, 0, 3, 4}), std::invalid_argument);
  CHECK_THROWS_AS(tenenbein({5, 0, 5, 2, 6, 4}), std::invalid_argument);
  CHECK_THROWS_AS(power_tuned_mean(std::vector<CheckedCell>{{1, 1}}, std::vector<double>{1}),
                  std::invalid_argument);
  CHECK_THROWS_AS(prediction_powered_mean(checked_cells(), {}), std::invalid_argument);
}
