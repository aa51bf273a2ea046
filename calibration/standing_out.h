// SPDX-License-Identifier: Apache-2.0
// Which gaps lie in rows, columns or holes that stand out by themselves, and which elsewhere?
#pragma once

#include <span>

#include "calibration/findings.h"
#include "calibration/gaps.h"

namespace braird {

/// What the findings about these trays tell of their gaps; `miscounted` as in gaps.h.
GapContext gap_context(std::span<const TrayMap> trays, std::span<const Finding> findings, double miscounted);

}  // namespace braird
