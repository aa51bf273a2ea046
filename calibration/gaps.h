// SPDX-License-Identifier: Apache-2.0
// What explains the gaps: the seed, or the sower?
//
// If seeds fail independently, a cell with n seeds stays empty with chance (1 − p)^n. Given how many
// seedlings came up in the whole tray, the number of empty cells then has a known mean and variance, with no
// unknown rate left in it (see empty_cells.h). Far more empty cells than that means that something hit whole
// cells. Two stories fit:
//
//   missed cells   the sower left some cells out; the others germinate as usual      (missed_cells.h)
//   shared fate    seeds of a cell fail together: dry, too deep, eaten, poor patch    (overdispersion.h)
//
// From three seeds a cell on, their likelihoods differ and can be weighed (both have two parameters). With
// two seeds both fit any tray equally well, and with one seed every failed seed is a gap: then only "can't
// tell" is honest.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "calibration/cells.h"
#include "calibration/interval.h"

namespace braird {

enum class GapVerdict {
  explained,   ///< about as many gaps as this germination leaves
  more,        ///< more gaps: something hit whole cells
  fewer,       ///< fewer gaps: the drop was uneven, or doubles were missed in counting
  cannot_tell  ///< one seed a cell, or more seedlings than seeds: gaps say nothing about the sower; or their
               ///< number is unusual, but not beyond the counter's doubt
};

enum class GapCause { none, missed_cells, shared_fate, cannot_tell };

struct GapExplanation {
  int cells = 0;
  int seen = 0;         ///< empty cells
  double expected = 0;  ///< empty cells expected from germination alone, Σ (1 − p)^n
  Interval usual;       ///< 95 % of trays with this germination have between so many empty cells
  double p_more = 1;    ///< chance of at least `seen` empty cells from germination alone, less `miscounted`
  double p_fewer = 1;   ///< chance of at most `seen`, and `miscounted` more
  GapVerdict verdict = GapVerdict::cannot_tell;
  GapCause cause = GapCause::none;    ///< other than none only if the verdict is `more`
  double missed = 0;                  ///< share of cells the sower left out, if that is the cause
  double germination_where_sown = 0;  ///< of the other cells, if that is the cause; else of all
  std::string sentence;               ///< the verdict for a person
};

/// What is known of the gaps beside the counts.
struct GapContext {
  double miscounted = 0;      ///< so many more or fewer they may be: the counter's doubt (counter_doubt.h)
  bool lie_together = false;  ///< then no cells are said to be missed: those lie anywhere
  /// The trays without rows, columns and holes that stand out by themselves, and what to call those; empty
  /// where none does. What explains the other gaps is then said of these cells alone.
  std::vector<std::vector<CellCount>> elsewhere{};
  std::string standing_out{};
};

/// Does this germination explain the empty cells, and if not, what does? `verdict` is `more` or `fewer` where
/// the one-sided chance is under 2.5 %; `cause` is named where one story is e² times likelier than the other
/// (a rule of thumb of likelihood inference: Edwards 1972, Likelihood). Cells with more seedlings than seeds
/// are taken as full as long as they are at most 5 % of the cells. Throws std::invalid_argument for negative
/// numbers and where nothing was sown.
GapExplanation explain_gaps(std::span<const CellCount> cells, const GapContext& known = {});

/// The same over several trays, each held against its own germination: trays that differ are no reason for
/// gaps. Trays in which nothing was sown are left out.
GapExplanation explain_gaps(std::span<const std::vector<CellCount>> trays, const GapContext& known = {});

}  // namespace braird
