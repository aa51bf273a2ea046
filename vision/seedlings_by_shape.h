// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/flat_tray.h"
#include "vision/seedlings.h"

namespace braird::vision {

/// The transparent counter: plant pixels stand out from the tray's own medium in balanced excess green; each
/// clump belongs to the cell its foot stands in; a cell's count is its plant area over that of the tray's own
/// single seedlings. `flat`: laid flat at kCoarseCell. Beside the learned counter it serves to explain and to
/// check.
std::vector<CountChances> count_by_shape(const FlatTray& flat, const Lattice& lattice, const Hints& hints,
                                         const Trace& trace = {});

}  // namespace braird::vision
