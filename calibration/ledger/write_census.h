// SPDX-License-Identifier: Apache-2.0
// A counted tray put into the ledger, anew or in the place of its former self.
#pragma once

#include "calibration/ledger/rows.h"

namespace braird::ledger {

/// What a census row tells besides its cells.
struct CensusRow {
  std::int64_t photo = 0, number = 0, tray = 0;
  bool by_label = false;
};

/// Puts the census in, in the place of the one that the photo had of this number, whose hand checks stay with
/// their cells. Says how many were dropped, as their cells are there no more. `again` holds the cells as they
/// were read again (rereading.h), or nothing; that of the same first counts stays.
std::int64_t write_census(const Database& file, const CensusRow& row, const Tray& census,
                          const std::vector<Cell>& again = {});

/// Numbers all censuses of the tray from the other end.
void turn_censuses(const Database& file, std::int64_t tray);

}  // namespace braird::ledger
