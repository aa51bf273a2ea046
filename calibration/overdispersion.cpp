// SPDX-License-Identifier: Apache-2.0
#include "calibration/overdispersion.h"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <limits>
#include <map>
#include <utility>

#include "calibration/require.h"

namespace braird {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kLargestRho = 0.999;  // beyond, the likelihood of cells that are all full or empty is flat

// Cells that look alike, counted once: their number by (seedlings, seeds).
using Tally = std::map<std::pair<int, int>, double>;

Tally tallied(std::span<const CellCount> cells) {
  check(cells);
  Tally tally;
  for (const CellCount& cell : cells) {
    require(cell.seedlings <= cell.seeds, "seedlings", cell.seedlings, "≤ seeds sown");
    if (cell.seeds > 0) ++tally[{cell.seedlings, cell.seeds}];
  }
  return tally;
}

double log_choose(int n, int k) {
  return std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1);
}

double theta_of(double rho) {
  return rho / (1 - rho);
}

// ln of x successes and n − x failures, coefficient left out; θ = ρ / (1 − ρ).
double log_chance(int x, int n, double mean, double theta) {
  double sum = 0;
  for (int r = 0; r < x; ++r) sum += std::log(mean + r * theta);
  for (int r = 0; r < n - x; ++r) sum += std::log(1 - mean + r * theta);
  for (int r = 0; r < n; ++r) sum -= std::log1p(r * theta);
  return sum;
}

double log_likelihood(const Tally& cells, double mean, double rho) {
  double sum = 0;
  for (const auto& [cell, many] : cells)
    sum += many *
           (log_choose(cell.second, cell.first) + log_chance(cell.first, cell.second, mean, theta_of(rho)));
  return sum;
}

// First and second derivatives of the log-likelihood by mean m and θ.
struct Slopes {
  double m = 0, theta = 0, mm = 0, m_theta = 0, theta_theta = 0;
};

void add_factor(Slopes& at, double many, double r, double base, double sign) {
  const double inverse = 1 / base;
  at.m += many * sign * inverse;
  at.theta += many * r * inverse;
  at.mm -= many * inverse * inverse;
  at.m_theta -= many * sign * r * inverse * inverse;
  at.theta_theta -= many * r * r * inverse * inverse;
}

Slopes slopes(const Tally& cells, double mean, double theta) {
  Slopes at;
  for (const auto& [cell, many] : cells) {
    const auto [x, n] = cell;
    for (int r = 0; r < x; ++r) add_factor(at, many, r, mean + r * theta, 1);
    for (int r = 0; r < n - x; ++r) add_factor(at, many, r, 1 - mean + r * theta, -1);
    for (int r = 1; r < n; ++r) {
      const double share = r / (1 + r * theta);
      at.theta -= many * share;
      at.theta_theta += many * share * share;
    }
  }
  return at;
}

double crude_mean(const Tally& cells) {
  double seedlings = 0, seeds = 0;
  for (const auto& [cell, many] : cells) {
    seedlings += many * cell.first;
    seeds += many * cell.second;
  }
  return seedlings / seeds;
}

// The likelihood is concave in the mean for any θ, so Newton's steps, halved at the walls, reach its one
// peak.
double best_mean(const Tally& cells, double theta, double start) {
  if (start <= 0 || start >= 1) return start;
  double mean = start;
  for (int step = 0; step < 100; ++step) {
    const Slopes at = slopes(cells, mean, theta);
    double next = mean - at.m / at.mm;
    if (next <= 0) next = mean / 2;
    if (next >= 1) next = (1 + mean) / 2;
    const bool settled = std::abs(next - mean) < 1e-14;
    mean = next;
    if (settled) break;
  }
  return mean;
}

struct GroupTallies {
  std::vector<Tally> tallies;
  std::vector<double> means;  // crude at first, then the best for the θ last tried
};

// Slope of the likelihood along θ with every mean at its best.
double profile_slope(GroupTallies& groups, double theta) {
  double sum = 0;
  for (std::size_t g = 0; g < groups.tallies.size(); ++g) {
    groups.means[g] = best_mean(groups.tallies[g], theta, groups.means[g]);
    if (groups.means[g] > 0 && groups.means[g] < 1)
      sum += slopes(groups.tallies[g], groups.means[g], theta).theta;
  }
  return sum;
}

double best_rho(GroupTallies& groups) {
  auto slope = [&](double rho) { return profile_slope(groups, theta_of(rho)); };
  const double at_zero = slope(0);
  if (!(at_zero > 0)) return 0;
  const double at_end = slope(kLargestRho);
  if (at_end >= 0) return kLargestRho;
  std::uintmax_t steps = 100;
  const auto bracket = boost::math::tools::toms748_solve(
      slope, 0.0, kLargestRho, at_zero, at_end, boost::math::tools::eps_tolerance<double>(44), steps);
  return (bracket.first + bracket.second) / 2;
}

// Standard errors from the observed information. Means meet only through ρ, so the matrix is an arrow and its
// inverse has a closed form.
void add_errors(BetaBinomialFit& fit, const GroupTallies& groups) {
  const double stretch = 1 / ((1 - fit.rho) * (1 - fit.rho));  // dθ/dρ
  double rho_information = 0;
  for (std::size_t g = 0; g < groups.tallies.size(); ++g) {
    const double mean = fit.means[g], width = mean * (1 - mean);
    if (width <= 0) {
      fit.logit_errors.push_back(kInfinity);
      fit.rho_slopes.push_back(0);
      continue;
    }
    const Slopes at = slopes(groups.tallies[g], mean, theta_of(fit.rho));
    const double own = -at.mm * width * width, shared = -at.m_theta * width * stretch;
    rho_information += -at.theta_theta * stretch * stretch - shared * shared / own;
    fit.logit_errors.push_back(1 / own);  // a variance until ρ's share is added below
    fit.rho_slopes.push_back(-shared / own);
  }
  const bool inside = fit.rho > 0 && fit.rho < kLargestRho && rho_information > 0;
  fit.rho_error = inside ? 1 / std::sqrt(rho_information) : 0;
  for (std::size_t g = 0; g < fit.means.size(); ++g)
    fit.logit_errors[g] = std::sqrt(fit.logit_errors[g] + std::pow(fit.rho_slopes[g] * fit.rho_error, 2));
}

}  // namespace

double beta_binomial_log_likelihood(std::span<const CellCount> cells, double mean, double rho) {
  require(mean >= 0 && mean <= 1, "mean", mean, "between 0 and 1");
  require(rho >= 0 && rho < 1, "rho", rho, "at least 0 and below 1");
  return log_likelihood(tallied(cells), mean, rho);
}

double BetaBinomialFit::logit_difference_error(std::size_t first, std::size_t second) const {
  auto own = [&](std::size_t g) {
    return logit_errors.at(g) * logit_errors.at(g) - std::pow(rho_slopes.at(g) * rho_error, 2);
  };
  return std::sqrt(own(first) + own(second) +
                   std::pow((rho_slopes[first] - rho_slopes[second]) * rho_error, 2));
}

BetaBinomialFit fit_beta_binomial(std::span<const std::vector<CellCount>> groups) {
  require(!groups.empty(), "number of groups", groups.size(), "> 0");
  GroupTallies work;
  for (const auto& group : groups) {
    work.tallies.push_back(tallied(group));
    work.means.push_back(crude_mean(work.tallies.back()));
  }
  BetaBinomialFit fit;
  for (std::size_t g = 0; g < groups.size(); ++g)
    fit.binomial_log_likelihood += log_likelihood(work.tallies[g], work.means[g], 0);
  fit.rho = best_rho(work);
  profile_slope(work, theta_of(fit.rho));
  fit.means = work.means;
  for (std::size_t g = 0; g < groups.size(); ++g)
    fit.log_likelihood += log_likelihood(work.tallies[g], fit.means[g], fit.rho);
  add_errors(fit, work);
  return fit;
}

BetaBinomialFit fit_beta_binomial(std::span<const CellCount> cells) {
  const std::vector<CellCount> group(cells.begin(), cells.end());
  return fit_beta_binomial(std::span(&group, 1));
}

std::optional<double> tarone_z(std::span<const CellCount> cells) {
  const std::vector<CellCount> group(cells.begin(), cells.end());
  return tarone_z(std::span(&group, 1));
}

std::optional<double> tarone_z(std::span<const std::vector<CellCount>> groups) {
  double seeds = 0, pairs = 0, squares = 0;
  for (const auto& group : groups) {
    const Tally seen = tallied(group);
    const double p = crude_mean(seen);
    if (p <= 0 || p >= 1) continue;
    for (const auto& [cell, many] : seen) {
      const double off = cell.first - p * cell.second;
      seeds += many * cell.second;
      pairs += many * cell.second * (cell.second - 1.0);
      squares += many * off * off / (p * (1 - p));
    }
  }
  if (pairs <= 0) return std::nullopt;
  return (squares - seeds) / std::sqrt(2 * pairs);
}

}  // namespace braird
