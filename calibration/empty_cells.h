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

/// The share of seed clusters that gave any seedling, from the gap rate of cells with so many each and the
/// share of cells that the sower is known to have missed. Estimate and lower end suppose that clusters fail
/// one by one. But a gap may be a cell that was missed or failed whole, so the upper end takes every cluster
/// outside of the gaps for alive. With two clusters a cell and more this costs power: beet, of which the law
/// asks 65 %, is surely below only where over 35 % of the cells are empty, as if 41 % of the clusters were
/// alive with two a cell, 23 % with four.
Estimate clusters_alive(const Estimate& gaps, int clusters, double missed = 0);

}  // namespace braird
