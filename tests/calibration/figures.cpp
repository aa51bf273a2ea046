// SPDX-License-Identifier: Apache-2.0
// Prints figures of this library, one a line as "name inputs… = outputs…", for scipy_check.py to work out
// anew.
#include <cmath>
#include <cstdio>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "calibration/emergence_fit.h"
#include "calibration/interval.h"
#include "calibration/join_counts.h"
#include "calibration/moran.h"
#include "calibration/multiple_tests.h"
#include "calibration/overdispersion.h"
#include "calibration/rate_differences.h"
#include "calibration/rates.h"
#include "trays.h"

namespace braird::test {
namespace {

void print(const std::string& name, const std::vector<double>& inputs, const std::vector<double>& outputs) {
  std::printf("%s", name.c_str());
  for (const double value : inputs) std::printf(" %.17g", value);
  std::printf(" =");
  for (const double value : outputs) std::printf(" %.17g", value);
  std::printf("\n");
}

void print_interval(const std::string& name, double count, double n, double confidence, Interval limits) {
  print(name, {count, n, confidence}, {limits.low, limits.high});
}

void intervals(std::mt19937& random) {
  for (int row = 0; row < 60; ++row) {
    const int n = 1 + static_cast<int>(random() % 1200), count = static_cast<int>(random() % (n + 1u));
    const double confidence = row % 3 == 0 ? .9 : row % 3 == 1 ? .95 : .99;
    print_interval("wilson", count, n, confidence, wilson(count, n, confidence));
    print_interval("wilsoncc", count, n, confidence, wilson_cc(count, n, confidence));
    print_interval("exact", count, n, confidence, clopper_pearson(count, n, confidence));
    print_interval("jeffreys", count, n, confidence, jeffreys(count, n, confidence));
    print_interval("midp", count, n, confidence, mid_p(count, n, confidence));
    const Estimate rate = germination_rate(tray_of({n - count, count}, 1), confidence);
    print_interval("oneseed", count, n, confidence, {rate.low, rate.high});
  }
}

void scores(std::mt19937& random) {
  std::uniform_real_distribution<> share;
  for (int row = 0; row < 40; ++row) {
    const double n = 5 + static_cast<double>(random() % 400), count = std::floor(share(random) * n),
                 z = 1 + 2 * share(random), error = .3 * share(random);
    const Interval limits = wilson_with_error(count, n, z, error);
    if (count > 0 && count < n) print("score", {count, n, z, error}, {limits.low, limits.high});
  }
}

void differences(std::mt19937& random) {
  for (int row = 0; row < 20; ++row) {
    const Share first{1. + static_cast<double>(random() % 40), 50},
        second{1. + static_cast<double>(random() % 25), 30};
    for (const auto& [name, method] : {std::pair{"mee", DifferenceMethod::mee},
                                       {"miettinen", DifferenceMethod::miettinen_nurminen},
                                       {"caffo", DifferenceMethod::agresti_caffo}}) {
      const Interval limits = rate_difference(first, second, method, .9);
      print(name, {first.count, first.n, second.count, second.n, .9}, {limits.low, limits.high});
    }
  }
}

void exact_sets(std::mt19937& random) {
  for (int row = 0; row < 4; ++row) {
    const int n = 4 + static_cast<int>(random() % 60), count = static_cast<int>(random() % (n + 1u));
    print_interval("sterne", count, n, .95, sterne(count, n));
    print_interval("blaker", count, n, .95, blaker(count, n));
  }
}

// Inputs: rows, columns, the numbers. Outputs: index and its variance over shuffles.
void morans(std::mt19937& random) {
  for (const Layout& layout : {Layout{4, 6}, Layout{8, 13}}) {
    std::vector<double> values, inputs = {double(layout.rows), double(layout.cols)};
    for (int at = 0; at < layout.rows * layout.cols; ++at)
      values.push_back(static_cast<double>(random() % 5));
    inputs.insert(inputs.end(), values.begin(), values.end());
    const MoranIndex moran = moran_index(values, neighbours_of(joins(layout, Contact::rook)));
    print("moran", inputs, {moran.index, moran.shuffled_variance});
  }
}

// Inputs: seeds a cell, the prior between trays, each tray's seedlings by cell, closed by -1. Outputs:
// estimate and limits.
void lots(std::mt19937& random) {
  for (const int many : {2, 3, 7}) {
    std::vector<std::vector<CellReading>> trays;
    std::vector<double> inputs = {3, kBetweenTrays.rho, kBetweenTrays.weight};
    for (int at = 0; at < many; ++at) {
      const auto cells = grown_tray(40 + 10 * at, 3, .7 + .02 * at, .05, random);
      for (const CellCount& cell : cells) inputs.push_back(cell.seedlings);
      inputs.push_back(-1);
      trays.push_back(cell_readings(cells));
    }
    const Estimate rate = pooled_germination_rate(trays);
    print("trays", inputs, {rate.estimate, rate.low, rate.high});
  }
}

// Inputs: the cells as seedlings and seeds in turn. Outputs: mean, ρ, log-likelihood of the fit.
void fits(std::mt19937& random) {
  for (const double rho : {.02, .1, .3}) {
    const auto tray = joined(grown_tray(60, 4, .8, rho, random), grown_tray(40, 7, .8, rho, random));
    std::vector<double> inputs;
    for (const CellCount& cell : tray)
      inputs.insert(inputs.end(), {double(cell.seedlings), double(cell.seeds)});
    const BetaBinomialFit fit = fit_beta_binomial(tray);
    print("betabinomial", inputs, {fit.means[0], fit.rho, fit.log_likelihood});
  }
}

// Inputs: sown, then time and number up in turn. Outputs: d, b, e, log-likelihood.
void curves() {
  for (const auto& up :
       {std::vector<double>{0, 4, 40, 110, 150, 161}, std::vector<double>{2, 9, 31, 60, 72, 75}}) {
    const Inspections seen{200, {3, 4, 5, 6, 8, 12}, up};
    const EmergenceFit fit = fit_emergence(seen).value();
    std::vector<double> inputs = {seen.sown};
    for (std::size_t at = 0; at < up.size(); ++at) inputs.insert(inputs.end(), {seen.times[at], up[at]});
    print("curve", inputs, {fit.final_share, fit.steepness, fit.half_time, fit.log_likelihood});
  }
}

void parts(std::mt19937& random) {
  for (int row = 0; row < 40; ++row) {
    const int cells = 50 + static_cast<int>(random() % 250), part_cells = 5 + static_cast<int>(random() % 30);
    const int empty = 1 + static_cast<int>(random() % 15), part_empty = static_cast<int>(random() % 6u);
    if (part_empty > empty || part_empty > part_cells) continue;
    print("hypergeometric", {double(cells), double(empty), double(part_cells), double(part_empty)},
          {chance_of_more({cells, empty, part_cells, part_empty}),
           chance_of_fewer({cells, empty, part_cells, part_empty})});
  }
}

}  // namespace

void print_figures() {
  std::mt19937 random(1954);
  intervals(random);
  fits(random);
  curves();
  parts(random);
  scores(random);
  differences(random);
  exact_sets(random);
  morans(random);
  lots(random);
}

}  // namespace braird::test

int main() {
  braird::test::print_figures();
}
