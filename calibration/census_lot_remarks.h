// SPDX-License-Identifier: Apache-2.0
// What a reader has to know of how photos became a lot: sentences for Lot::remarks.
#pragma once

#include "calibration/census_lots.h"
#include "calibration/trays_over_days.h"

namespace braird {

/// Is the shot's age not known, but seeds lie in view and nothing is up? Then it is taken to be 0 days.
bool is_taken_as_sown(const Shot& shot);

/// Which photos of a tray count, and which trays may be one.
void remark_on_days(Lot& lot, const TraysOverDays& over, const CensusOptions& options);

/// Trays among these last photos that are taken to have been sown on the day of the photo.
void remark_on_fresh(Lot& lot, const Shots& last);

/// That these photos show the latest sowing alone. At least one.
void remark_on_sowing(Lot& lot, const Shots& latest);

/// What the census says goes before what was told.
void remark_on_told(Lot& lot, const Shots& shots, const CensusOptions& options);

}  // namespace braird
