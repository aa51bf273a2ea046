// SPDX-License-Identifier: Apache-2.0
// The denominator of each cell: what lay there before it was covered.
#pragma once

#include "calibration/lot.h"
#include "calibration/trays_over_days.h"

namespace braird {

/// Gives the cells of the lot's trays, which `shots` show, the seeds that were counted in `drops`: those of
/// the same tag and sowing, or, without tags on either, of the same place in the order. Throws
/// std::invalid_argument with one sentence where they aren't the same trays.
void join_drops(Lot& lot, const Shots& drops, const Shots& shots);

}  // namespace braird
