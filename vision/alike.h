// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "vision/flat_tray.h"

namespace braird::vision {

/// So many of a tray's rows and columns, if there are more, about the middle.
Lattice middle_of(Lattice lattice);

/// The mean correlation of cells in the middle of a tray, at most 36, with the next one in their row, without
/// their walls: -1 to 1. `flat`: of `lattice`, an even number of px a cell.
double alikeness(const FlatTray& flat, const Lattice& lattice);

}  // namespace braird::vision
