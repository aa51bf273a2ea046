// SPDX-License-Identifier: Apache-2.0
// Do two photos show the same tray, and the same way round?
//
// Which cells are empty, and where in its cell each plant stands, is a tray's fingerprint. Three patterns are
// compared: chance of being occupied, place along the row, place from row to row; each after taking off the
// means of its rows and columns, since trays from one sower share jammed holes, dry edges and an off-centre
// plate. If the residues of n cells correlate by r > 0, a normal pattern is exp(-n/2 ln(1 - r²)) times
// likelier under "the same cells" than under "others"; the logarithms of the three are added up (nats).
#pragma once

#include "calibration/census.h"

namespace braird {

/// The tray's cells numbered from the opposite corner.
Tray half_turned(const Tray& tray);

/// The tray's cells numbered from the end of its first row on, so that its columns become rows. Of a square
/// lattice.
Tray quarter_turned(const Tray& tray);

enum class SameTray { same, turned, unsure };

struct TrayMatch {
  SameTray verdict = SameTray::unsure;
  double upright = 0;  ///< nats for the same cells the same way round, ≥ 0
  double turned = 0;   ///< nats for the second photo being turned by half
};

/// Evidence of another kind for the same tray the same way round, and turned by half: nats, ≥ 0.
struct MoreEvidence {
  double upright = 0, turned = 0;
};

/// `same` or `turned` only where the evidence is overwhelming: over 18 nats in all and 10 more than the other
/// way round. Unlike trays reach half a chi-square of three degrees: 18 nats by chance once in ten million
/// (12.2 was the highest of 2,000 simulated looks, see the test), and a sowing's trays are each tried. Trays
/// of different layouts are unsure.
TrayMatch match_trays(const Tray& first, const Tray& second, const MoreEvidence& more = {});

/// The same where it is known to be the same tray, and only the way round is asked: 6 nats more than the
/// other way round are enough (400 to 1).
SameTray way_round(const Tray& first, const Tray& second, const MoreEvidence& more = {});

}  // namespace braird
