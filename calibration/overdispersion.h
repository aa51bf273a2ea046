// SPDX-License-Identifier: Apache-2.0
// Do seeds of one cell share a fate, and how strongly?
//
// ρ is the correlation between two seeds of the same cell (or tray, or lot, whatever is passed as one
// CellCount): 0 where each seed decides alone, 1 where a cell comes up whole or not at all. It is the ρ of
// the beta-binomial distribution, ρ = 1 / (α + β + 1), fitted by maximum likelihood with one mean for each
// group and one ρ for all: groups of cells are trays, groups of trays are lots. Crowder 1978, Appl Stat
// 27:34-37; Williams 1975, Biometrics 31:949-952.
//
// All throw std::invalid_argument for negative numbers, for more seedlings than seeds (see within_seeds), and
// where nothing was sown.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "calibration/cells.h"

namespace braird {

/// Log-likelihood of the cells, binomial coefficients included; −∞ where the cells are impossible. mean in
/// [0, 1], rho in [0, 1).
double beta_binomial_log_likelihood(std::span<const CellCount> cells, double mean, double rho);

struct BetaBinomialFit {
  std::vector<double> means;  ///< one a group, 0..1
  std::vector<double>
      logit_errors;  ///< standard error of ln(mean / (1 − mean)); infinite at a mean of 0 or 1
  std::vector<double> rho_slopes;  ///< d logit(mean) / dρ along the ridge; joins the errors of two groups
  double rho = 0;                  ///< 0..1
  double rho_error = 0;            ///< standard error; 0 where the estimate lies on the edge ρ = 0
  double log_likelihood = 0;
  double binomial_log_likelihood = 0;  ///< the same with ρ = 0

  /// Standard error of the difference of two groups' logits.
  double logit_difference_error(std::size_t first, std::size_t second) const;
};

/// Fits one mean a group and one ρ; without groups, one mean for all. Cells with one seed say nothing about
/// ρ; if all have one, ρ is 0.
BetaBinomialFit fit_beta_binomial(std::span<const std::vector<CellCount>> groups);
BetaBinomialFit fit_beta_binomial(std::span<const CellCount> cells);

/// Is there more spread between cells than independent seeds would make? Approximately standard normal if
/// not; above 1.64 there is, with 95 % confidence. Nothing where no cell has two seeds, or none or all came
/// up. Tarone 1979, Biometrika 66:585-590.
std::optional<double> tarone_z(std::span<const CellCount> cells);

/// The same over groups that each have a rate of their own: their sums are added up.
std::optional<double> tarone_z(std::span<const std::vector<CellCount>> groups);

}  // namespace braird
