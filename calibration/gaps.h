// SPDX-License-Identifier: Apache-2.0
// What explains the gaps: the seed, or the sower?
//
// If seeds fail independently, a cell with n seeds stays empty with chance (1 − p)^n. Given how many seedlings came up
// in the whole tray, the number of empty cells then has a known mean and variance (the seedlings are spread over the
// sown seeds at random), with no unknown rate left in it. Far more empty cells than that means that something hit
// whole cells: the sower missed them, or they dried out, were too deep, were eaten.
#pragma once

#include <span>
#include <string>

#include "calibration/rates.h"

namespace braird {

enum class GapVerdict {
  explained,   ///< about as many gaps as this germination leaves
  more,        ///< more gaps: something hit whole cells
  fewer,       ///< fewer gaps: the drop was uneven, or doubles were missed in counting
  cannot_tell  ///< one seed a cell, or more seedlings than seeds: gaps say nothing about the sower
};

struct GapExplanation {
  int cells = 0;
  int seen = 0;           ///< empty cells
  double expected = 0;    ///< empty cells expected from germination alone, Σ (1 − p)^n
  Interval usual;         ///< 95 % of trays with this germination have between so many empty cells
  double p_more = 1;      ///< chance of at least `seen` empty cells from germination alone
  double p_fewer = 1;     ///< chance of at most `seen`
  GapVerdict verdict = GapVerdict::cannot_tell;
  std::string sentence;   ///< the verdict for a person
};

/// Does this germination explain the empty cells? `verdict` is `more` or `fewer` where the one-sided chance is under
/// 2.5 %. Cells with more seedlings than seeds are taken as full, as long as they are at most 5 % of the cells.
/// Throws std::invalid_argument like germination_rate.
GapExplanation explain_gaps(std::span<const CellCount> cells);

}  // namespace braird
