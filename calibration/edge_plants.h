// SPDX-License-Identifier: Apache-2.0
// Does the edge of a tray come up worse, or better, than its middle?
//
// Where several seeds are sown a cell, a dry edge leaves few gaps: of four seeds of which half come up one cell
// in sixteen is empty. So the plants are asked, cell by cell, since seeds of a cell share their fate; cells at
// the edge against those within by Welch's t (Welch 1947, Biometrika 34: 28-35), which lets the two vary
// unlike. An edge suffers all round, a patch or a blocked line at the side does not: so the two sides that
// differ least from the middle must tell by themselves.
#pragma once

#include <optional>

#include "calibration/findings.h"

namespace braird {

/// Plants a cell at the edge and within it, as a look at one tray: its `difference` is that of seeds that
/// failed, as a share of the seeds, at the edge minus within, its `p_value` (two-sided) that of the two sides
/// which differ least. Nothing where at most one seed was sown a cell, so that the gaps tell all; where fewer
/// than five cells are known within or of these sides; or where these do not differ from the middle as the
/// edge does.
std::optional<Finding> edge_plants(const TrayMap& tray);

}  // namespace braird
