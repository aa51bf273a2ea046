// SPDX-License-Identifier: Apache-2.0
// A tray's cells as a few bytes each. Exactly what a census in JSON says comes back: chances in steps of
// 0.0001, places in steps of 0.1 px, plants in steps of 1/25 cell.
//
//   number   unsigned, 7 bits a byte, the lowest first, the high bit set on all bytes but the last;
//            signed ones as 2n, or -2n - 1 below 0
//   counts   version 1; the number of chances each cell has, or 0 and then that number for each cell;
//            count and review (2 count + review) of each cell; then chance after chance: P(0) of all
//            cells, P(1), …
//   places   version 1; x of all cells row by row, then y: second differences along the row, a row's
//            first two from those of the row before
//   plants   version 1; along the row and along the column, for each cell: 0 none, else 1 + the signed number
//
// Each is then compressed (zlib's deflate).
#pragma once

#include <vector>

#include "calibration/census.h"
#include "calibration/ledger/sqlite.h"

namespace braird::ledger {

Bytes pack_counts(const std::vector<Cell>& cells);
Bytes pack_places(const std::vector<Cell>& cells, int cols);
Bytes pack_plants(const std::vector<Cell>& cells);
Bytes pack_corners(const std::array<Point, 4>& corners);

/// What is read back in is spread over `cells`, which has rows times cols of them. Each throws
/// std::invalid_argument with one clause if the bytes are damaged.
void unpack_counts(const Bytes& packed, std::vector<Cell>& cells);
void unpack_places(const Bytes& packed, int cols, std::vector<Cell>& cells);
void unpack_plants(const Bytes& packed, std::vector<Cell>& cells);
std::array<Point, 4> unpack_corners(const Bytes& packed);

}  // namespace braird::ledger
