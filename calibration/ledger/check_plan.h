// SPDX-License-Identifier: Apache-2.0
// Which cells of a counted tray should a person count by hand?
//
// Two kinds. Cells drawn at random tell of the counter's error everywhere, so all trays of that crop,
// shape and number of seeds are corrected by them; they must not be picked by how they look. Cells that the
// counter is unsure of (which_to_check.h) make this very tray's rate surer for each look, and say nothing of
// others.
#pragma once

#include <span>
#include <vector>

#include "calibration/ledger/records.h"

namespace braird::ledger {

inline constexpr int kUsuallyDrawn = 16, kUsuallyDoubtful = 4;

struct CheckProposal {
  int cell = 0;  ///< row by row
  bool drawn = false;
};

/// Cells not yet checked, in the order in which a hand walks the tray. The draw depends on the photo alone,
/// so that asking again proposes the same cells until they are counted. `drawn`, `doubtful` ≥ 0.
std::vector<CheckProposal> propose_checks(const KeptCensus& census, int drawn, int doubtful);

/// How many cells were drawn, if these were counted by hand and none of the draw was left out?
int drawn_among(const KeptCensus& census, std::span<const int> cells);

}  // namespace braird::ledger
