// SPDX-License-Identifier: Apache-2.0
// How is a finding said? Each sentence: what was seen, against what, and the likely cause to check. The
// causes are common practice of growers, no source.
#pragma once

#include <string>

#include "calibration/findings.h"
#include "calibration/join_counts.h"
#include "calibration/multiple_tests.h"

namespace braird {

/// How many gaps a part of the tray has against the rest of it, or of what `rest` calls it, and what to
/// check; `place` with or without a capital.
std::string part_sentence(const std::string& place, const Part& part, const std::string& cause,
                          const std::string& rest = "the rest");
/// Touching gaps against the number that is usual.
std::string clump_sentence(const JoinCount& joined);
/// How many plants a cell the edge has against the rest, and what to check.
std::string edge_plants_sentence(double at_edge, double within, const std::string& cause);
/// How many of the gaps lie in the place where they lie most together.
std::string clump_place_sentence(const std::string& place, const Part& part);
/// Gaps in a row, in sowing order, ≥ 2.
std::string run_sentence(int length, const std::string& place);
/// A place that is empty in `empty` of `trays` trays, where chance would make it `expected`.
std::string repeated_sentence(const std::string& place, int empty, int trays, double expected);

/// What to check where the edge differs from the middle.
std::string edge_cause(bool edge_is_poorer);
/// `outermost`: a line along the edge, which may be dry where some of it came up; if it is nearly all empty in
/// a counted photo, the lattice is the suspect.
std::string line_cause(FindingKind kind, const Part& part, bool outermost, bool from_photo);
/// What to check in a poor corner, and what a corner is called ("the corner of …").
std::string corner_cause();
std::string corner_name(bool last_rows, bool last_cols);

}  // namespace braird
