// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "vision/geometry.h"
#include "vision/hints.h"

namespace braird::vision {

/// The same cells, numbered from the opposite corner.
Lattice half_turned(const Lattice& lattice);

/// The same cells of a square lattice, its columns made rows.
Lattice quarter_turned(const Lattice& lattice);

/// The same cells of a square lattice with the stated count of rows, if a quarter turn gives it.
Lattice with_stated_rows(const Lattice& lattice, const Hints& hints);

/// The numbering people expect: the stated count of rows if any, else rows that run across the photo; of the
/// two numberings left, the one that starts nearer the photo's upper edge, or left where both start about as
/// high.
Lattice numbered(Lattice lattice, const Hints& hints);

/// Which of a tray's corner cells, clockwise as in Tray::corners_px, the first is in the photo: "upper left",
/// or another where a stated count of rows or a staggered tray's own rows want it.
std::string first_corner(const std::array<Point, 4>& corners);

/// How a census's remark on that begins.
inline constexpr std::string_view kFirstCellIs = "row 1, column 1 is the corner nearest to the photo's ";

/// As one reads: trays that lie beside each other from the left, and those above first.
std::vector<Lattice> in_reading_order(std::vector<Lattice> lattices);

}  // namespace braird::vision
