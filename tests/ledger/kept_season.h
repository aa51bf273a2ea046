// SPDX-License-Identifier: Apache-2.0
// A ledger with photos of one growing tray.
#pragma once

#include <fmt/format.h>

#include <random>
#include <string>

#include "calibration/ledger/keep.h"
#include "calibration/same_tray.h"
#include "tests/ledger/made_trays.h"

namespace braird::test {

using namespace ledger;

inline std::int64_t count_in(const Ledger& ledger, const std::string& table) {
  Statement rows = ledger.file().prepare("SELECT count(*) FROM " + table);
  rows.next();
  return rows.whole(0);
}

inline const Told kRowan{"Rowan 12", "2026-04-02", std::nullopt};

struct Season {
  LedgerFolder folder;
  std::mt19937 random{3};
  GrownTray tray = grown({}, random);
  Ledger ledger{folder.file(), Access::write};

  Keeping keep_day(int day, const std::string& name, bool upside_down = false, const Told& told = kRowan) {
    Tray seen = seen_on(tray, day, {}, random);
    if (upside_down) seen = half_turned(seen);
    return keep(ledger, hash_of(name),
                census_of({seen}, name, fmt::format("2026-04-{:02}T09:00:00", 2 + day)), told);
  }
};

}  // namespace braird::test
