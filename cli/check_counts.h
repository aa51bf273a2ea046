// SPDX-License-Identifier: Apache-2.0
// Hand counts as a person gives them: typed one by one, or in a table.
#pragma once

#include <istream>
#include <optional>
#include <string>
#include <vector>

#include "calibration/ledger/check_plan.h"
#include "cli/console.h"

namespace braird::cli {

/// Asks cell by cell; an empty line skips, "q" or the end of input ends. What is no whole number is asked
/// again.
std::vector<ledger::HandCheck> ask_counts(std::istream& in, std::ostream& out, const Layout& layout,
                                          const std::vector<ledger::CheckProposal>& proposals);

/// A row of a table of hand counts.
struct TypedCount {
  std::optional<std::string> tray;   ///< a tag or photo; nothing: the one asked for
  std::optional<std::string> photo;  ///< census_key.h; goes before `tray`, which may have newer photos
  std::optional<bool> drawn;         ///< at random, with all others drawn there; nothing: as proposed
  int row = 0, col = 0;              ///< from 1
  int seedlings = 0;
  int line = 0;
};

/// CSV with the columns row, col, count and, for several trays, tray; the corrections that a report's page
/// saves have photo and drawn (yes or no) too. Throws std::invalid_argument with file, line
/// and fault, a line for each faulty row.
std::vector<TypedCount> read_counts(std::istream& in, const std::string& file);

}  // namespace braird::cli
