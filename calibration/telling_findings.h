// SPDX-License-Identifier: Apache-2.0
// Which of a lot's findings are no chance finds?
//
// One tray in twenty shows something by chance alone: of many trays, one's find must be more telling, or more
// of them have one.
#pragma once

#include <span>

#include "calibration/findings.h"

namespace braird {

/// The most telling of the findings that are asked for, in a lot of so many trays; null where chance explains
/// them.
const Finding* stands_out(std::span<const Finding> findings, int trays, bool (*is_asked)(const Finding&));

/// Do the lot's gaps lie in clumps, along the edge or in a corner, as no sower leaves them?
bool lie_together(std::span<const Finding> findings, int trays);

}  // namespace braird
