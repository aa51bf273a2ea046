// SPDX-License-Identifier: Apache-2.0
#include "calibration/counter_doubt.h"

#include "calibration/interval.h"
#include "calibration/rates.h"

namespace braird {

double doubted_gaps(std::span<const std::vector<CellReading>> trays) {
  double off = 0;
  for (const auto& tray : trays)
    for (const CellReading& cell : tray)
      if (cell.seeds > 0) off += gap_reading(cell).off;
  return normal_quantile_two_sided(0.95) * kKappa * off;
}

}  // namespace braird
