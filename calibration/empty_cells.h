// SPDX-License-Identifier: Apache-2.0
// How many cells stay empty by germination alone? The spread that gaps.h holds the seen gaps against.
#pragma once

#include <span>

#include "calibration/cells.h"
#include "calibration/interval.h"
#include "calibration/spread.h"

namespace braird {

/// Given how many seedlings the tray holds in all, and that chance alone spread them over the sown seeds.
/// Exact, with no unknown rate (occupancy moments by factorial products; Johnson & Kotz 1977, Urn Models).
/// Cells must hold no more seedlings than seeds (see within_seeds).
Spread empty_cells_given_total(std::span<const CellCount> cells);

/// Chance that a cell stays empty when each seed comes up with chance `germination` and their number varies.
double chance_of_gap(const SeedDrop& drop, double germination);

/// The share of seed clusters that gave any seedling, from the gap rate of cells with so many each.
Estimate clusters_alive(const Estimate& gaps, int clusters);

/// The same spread for cells sown by a varying drop; the rate is estimated from the tray, which takes some
/// variance away (delta method on the cell means). `seedlings` of each cell.
Spread empty_cells_under_drop(std::span<const int> seedlings, const SeedDrop& drop);

}  // namespace braird
