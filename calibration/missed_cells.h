// SPDX-License-Identifier: Apache-2.0
// Did the sower miss cells? If a share of the cells got no seed at all and the rest germinate independently,
// the counts follow a zero-inflated binomial: more empty cells than the filled ones lead one to expect.
// Maximum likelihood by expectation and maximisation (Hall 2000, Biometrics 56:1030-1039).
#pragma once

#include <span>

#include "calibration/cells.h"

namespace braird {

struct MissedCellsFit {
  double missed = 0;          ///< share of cells without a seed, 0..1
  double germination = 0;     ///< of the seeds in the other cells, 0..1
  double log_likelihood = 0;  ///< binomial coefficients included
  double excess = 0;   ///< likelihood ratio against no missed cell, twice the difference of logs, ≥ 0
  double p_value = 1;  ///< one-sided: half the chi-square tail with 1 degree of freedom (Self & Liang 1987)
};

/// Fits the share of missed cells and the germination in the others. With one seed a cell nothing can be
/// told: missed is 0. With two seeds every overdispersion looks like missed cells. Throws
/// std::invalid_argument for negative numbers, for more seedlings than seeds (see within_seeds), and where
/// nothing was sown.
MissedCellsFit fit_missed_cells(std::span<const CellCount> cells);

}  // namespace braird
