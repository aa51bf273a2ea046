// SPDX-License-Identifier: Apache-2.0
#include "calibration/counter_doubt.h"

#include "calibration/require.h"

namespace braird {

double counter_error(std::span<const CellReading> cells) {
  double off = 0, seeds = 0;
  for (const CellReading& cell : cells) {
    require(cell.off >= 0, "mean error of a cell", cell.off, "≥ 0");
    off += cell.off;
    seeds += cell.seeds;
  }
  require(seeds > 0, "seeds sown", seeds, "> 0");
  return kKappa * off / seeds;
}

}  // namespace braird
