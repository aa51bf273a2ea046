// SPDX-License-Identifier: Apache-2.0
#include "calibration/overdispersion.h"

#include <cmath>
#include <stdexcept>

#include "near.h"
#include "trays.h"

using namespace braird;
using namespace braird::test;

namespace {

using Plates = std::vector<CellCount>;

// Crowder 1978, Appl Stat 27:34-37, Table 3: Orobanche seeds, germinated of sown. Lots 75 and 73 on bean and
// cucumber.
const std::vector<Plates> kCrowder = {
    {{10, 39}, {23, 62}, {23, 81}, {26, 51}, {17, 39}},
    {{5, 6}, {53, 74}, {55, 72}, {32, 51}, {46, 79}, {10, 13}},
    {{8, 16}, {10, 30}, {8, 28}, {23, 45}, {0, 4}},
    {{3, 12}, {22, 41}, {15, 30}, {32, 51}, {3, 7}},
};

Plates all_plates() {
  Plates all;
  for (const Plates& group : kCrowder) all = joined(all, group);
  return all;
}

double log_odds(double p) {
  return std::log(p / (1 - p));
}

}  // namespace

TEST_CASE("published: Crowder's four groups, one ρ (recomputed with an optimiser and VGAM)") {
  const BetaBinomialFit fit = fit_beta_binomial(kCrowder);
  CHECK_PRINTS(fit.rho, .012361, 6);
  CHECK_PRINTS(fit.rho_error, .0114, 4);
  CHECK_PRINTS(fit.log_likelihood, -53.7668, 4);
  CHECK_PRINTS(fit.binomial_log_likelihood, -54.937, 3);
  CHECK_PRINTS(2 * (fit.log_likelihood - fit.binomial_log_likelihood), 2.3405, 4);
}

TEST_CASE("published: Crowder's factorial effects from the group means") {
  const BetaBinomialFit fit = fit_beta_binomial(kCrowder);
  const double bean_75 = log_odds(fit.means[0]), cucumber_75 = log_odds(fit.means[1]);
  const double bean_73 = log_odds(fit.means[2]), cucumber_73 = log_odds(fit.means[3]);
  CHECK_PRINTS(bean_75, -.54195, 5);
  CHECK_PRINTS(bean_73 - bean_75, .09739, 5);
  CHECK_PRINTS(cucumber_75 - bean_75, 1.32007, 5);
  CHECK_PRINTS(cucumber_73 - bean_73 - cucumber_75 + bean_75, -.79792, 5);
  CHECK_PRINTS(fit.logit_errors[0], .1638, 4);
  CHECK_PRINTS(fit.logit_difference_error(2, 0), .2737, 4);
  CHECK_PRINTS(fit.logit_difference_error(1, 0), .2340, 4);
}

TEST_CASE("published: Crowder's groups without shared fate are a logistic regression (recomputed in R)") {
  // With ρ = 0 the means are the groups' shares, and their errors the binomial ones.
  const std::vector<double> shares = {.36397, .68136, .39837, .53191};
  std::vector<double> logits, squares;
  double all_up = 0, all_sown = 0;
  for (std::size_t g = 0; g < 4; ++g) {
    double up = 0, sown = 0;
    for (const CellCount& plate : kCrowder[g]) up += plate.seedlings, sown += plate.seeds;
    const BetaBinomialFit one = fit_beta_binomial(Plates{{static_cast<int>(up), static_cast<int>(sown)}});
    CHECK_PRINTS(one.means[0], shares[g], 5);
    CHECK(one.rho == 0);
    logits.push_back(log_odds(one.means[0]));
    squares.push_back(one.logit_errors[0] * one.logit_errors[0]);
    all_up += up, all_sown += sown;
  }
  CHECK_PRINTS(all_up / all_sown, .510229, 6);
  CHECK_PRINTS(logits[0], -.5582, 4);
  CHECK_PRINTS(std::sqrt(squares[0]), .1260, 4);
  CHECK_PRINTS(logits[2] - logits[0], .1459, 4);
  CHECK_PRINTS(std::sqrt(squares[2] + squares[0]), .2232, 4);
  CHECK_PRINTS(logits[1] - logits[0], 1.3182, 4);
  CHECK_PRINTS(std::sqrt(squares[1] + squares[0]), .1775, 4);
  CHECK_PRINTS(logits[3] - logits[2] - logits[1] + logits[0], -.7781, 4);
  CHECK_PRINTS(std::sqrt(squares[0] + squares[1] + squares[2] + squares[3]), .3064, 4);
}

TEST_CASE("published: Crowder's plates as one group") {
  const BetaBinomialFit fit = fit_beta_binomial(all_plates());
  CHECK_PRINTS(fit.means[0], .493572, 6);
  CHECK_PRINTS(log_odds(fit.means[0]), -.025712, 6);
  CHECK_PRINTS(fit.logit_errors[0], .148949, 6);
  CHECK_PRINTS(fit.rho, .081572, 6);
  CHECK_PRINTS(fit.rho_error, .0318, 4);
  CHECK_PRINTS(fit.log_likelihood, -64.5163, 4);
  CHECK_PRINTS(fit.binomial_log_likelihood, -87.6579, 4);
  const double sum = 1 / fit.rho - 1;  // α + β
  CHECK_PRINTS(fit.means[0] * sum, 5.5572, 4);
  CHECK_PRINTS((1 - fit.means[0]) * sum, 5.7019, 4);
}

TEST_CASE("published: Tarone 1979, Z of Crowder's plates (formula from memory, recomputed)") {
  CHECK_PRINTS(tarone_z(all_plates()).value(), 14.4865, 4);
  CHECK_PRINTS(tarone_z(kCrowder[0]).value(), 1.45949, 5);
  CHECK_PRINTS(tarone_z(kCrowder[1]).value(), 1.14255, 5);
  CHECK_PRINTS(tarone_z(kCrowder[2]).value(), .72192, 5);
  CHECK_PRINTS(tarone_z(kCrowder[3]).value(), .06102, 5);
}

TEST_CASE("published: Crowder 1978, Table 1, O. cernua by dilution") {
  const std::vector<Plates> dilutions = {{{2, 43}, {9, 51}, {5, 44}, {16, 71}, {2, 24}, {0, 7}},
                                         {{17, 19}, {43, 56}, {79, 87}, {50, 55}, {9, 10}},
                                         {{11, 13}, {47, 62}, {90, 104}, {46, 51}, {9, 11}}};
  const std::vector<double> printed = {.142, .872, .842};
  double all_up = 0, all_sown = 0;
  for (std::size_t g = 0; g < dilutions.size(); ++g) {
    double up = 0, sown = 0;
    for (const CellCount& plate : dilutions[g]) up += plate.seedlings, sown += plate.seeds;
    CHECK_PRINTS(up / sown, printed[g], 3);
    all_up += up, all_sown += sown;
    // Maximum likelihood weighs plates a little differently, but must stay near the pooled mean.
    CHECK(fit_beta_binomial(dilutions[g]).means[0] == doctest::Approx(printed[g]).epsilon(0.02));
  }
  CHECK_PRINTS(all_up / all_sown, .614, 3);
}

TEST_CASE("closed form: two seeds a cell, 14, 28 and 58 of 100 cells") {
  const auto tray = tray_of({14, 28, 58}, 2);
  const BetaBinomialFit fit = fit_beta_binomial(tray);
  CHECK_PRINTS(fit.rho, .305556, 6);
  CHECK_PRINTS(fit.binomial_log_likelihood, -99.1825, 4);
  CHECK_PRINTS(tarone_z(tray).value(), 3.0556, 4);
  const auto chances = beta_binomial_chances(2, .72, 0);
  const std::vector<double> seen = {14, 28, 58}, printed = {7.84, 40.32, 51.84};
  double misfit = 0;
  for (std::size_t k = 0; k < 3; ++k) {
    CHECK_PRINTS(100 * chances[k], printed[k], 2);
    misfit += (seen[k] - 100 * chances[k]) * (seen[k] - 100 * chances[k]) / (100 * chances[k]);
  }
  CHECK_PRINTS(misfit, 9.336, 3);
}

TEST_CASE("handbook: p = .8, ρ = .08, two seeds: 5.28 % of the cells stay empty, not 4 %") {
  const auto chances = beta_binomial_chances(2, .8, .08);
  CHECK(chances[0] == doctest::Approx(.0528).epsilon(1e-12));
  CHECK(beta_binomial_chances(2, .8, 0)[0] == doctest::Approx(.04).epsilon(1e-12));
}

TEST_CASE("published: textbook p = .75 and four seeds a hill") {
  const auto chances = beta_binomial_chances(4, .75, 0);
  CHECK_PRINTS(1 - chances[0], .9961, 4);
  CHECK_PRINTS(1 - chances[0] - chances[1], .9492, 4);
  CHECK_PRINTS(chances[4], .3164, 4);
}

TEST_CASE("identity: chances sum to one, with the mean and the variance of ρ") {
  for (double rho : {0.0, 0.02, 0.3, 0.9}) {
    CAPTURE(rho);
    const int n = 6;
    double sum = 0, mean = 0, square = 0;
    const auto chances = beta_binomial_chances(n, .7, rho);
    for (int x = 0; x <= n; ++x) {
      const double chance = chances[static_cast<std::size_t>(x)];
      sum += chance, mean += x * chance, square += x * x * chance;
    }
    CHECK(sum == doctest::Approx(1).epsilon(1e-12));
    CHECK(mean == doctest::Approx(n * .7));
    CHECK(square - mean * mean == doctest::Approx(n * .7 * .3 * (1 + (n - 1) * rho)));
  }
}

TEST_CASE("push a known ρ through many cells and ask for it back") {
  std::mt19937 random(11);
  const auto tray = grown_tray(20000, 4, .85, .1, random);
  const BetaBinomialFit fit = fit_beta_binomial(tray);
  CHECK(std::abs(fit.rho - .1) < 3 * fit.rho_error);
  CHECK(std::abs(log_odds(fit.means[0]) - log_odds(.85)) < 3 * fit.logit_errors[0]);
}

TEST_CASE("the edges: nothing up, all up, one seed, all or none, even spread") {
  CHECK(fit_beta_binomial(tray_of({20}, 3)).means[0] == 0);
  CHECK(fit_beta_binomial(tray_of({0, 0, 0, 20}, 3)).log_likelihood == doctest::Approx(0));
  CHECK(fit_beta_binomial(tray_of({5, 15}, 1)).rho == 0);
  CHECK(fit_beta_binomial(tray_of({10, 0, 0, 10}, 3)).rho > 0.99);
  CHECK(fit_beta_binomial(tray_of({0, 0, 20, 0}, 3)).rho == 0);
  CHECK(std::isinf(fit_beta_binomial(tray_of({20}, 3)).logit_errors[0]));
  CHECK_FALSE(tarone_z(tray_of({5, 15}, 1)));
  CHECK_FALSE(tarone_z(tray_of({20}, 3)));
}

TEST_CASE("overdispersion refuses nonsense") {
  CHECK_THROWS_WITH_AS(fit_beta_binomial(tray_of({1, 1, 1}, 1)), "seedlings is 2, but must be ≤ seeds sown",
                       std::invalid_argument);
  CHECK_THROWS_AS(fit_beta_binomial(std::vector<Plates>{}), std::invalid_argument);
  CHECK_THROWS_AS(tarone_z(Plates{}), std::invalid_argument);
  CHECK_THROWS_AS(beta_binomial_log_likelihood(tray_of({1}, 2), 1.2, 0), std::invalid_argument);
  CHECK_THROWS_AS(beta_binomial_log_likelihood(tray_of({1}, 2), .5, 1), std::invalid_argument);
  CHECK_THROWS_AS(beta_binomial_log_likelihood(Plates{{0, -1}}, .5, 0), std::invalid_argument);
}
