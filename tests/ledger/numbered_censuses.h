// SPDX-License-Identifier: Apache-2.0
// Censuses known by a number alone, so that it can be told later which of them a ledger holds.
#pragma once

#include <random>
#include <string>

#include "calibration/ledger/keep.h"
#include "tests/ledger/made_trays.h"

namespace braird::test {

inline Census made_census(unsigned number) {
  std::mt19937 random(number);
  return census_of({seen_on(grown({}, random), 7, {}, random)}, "photo-" + std::to_string(number) + ".jpg");
}

inline ledger::Keeping keep_number(ledger::Ledger& into, unsigned number) {
  return ledger::keep(into, hash_of(std::to_string(number)), made_census(number), {"Rowan 12", {}, {}});
}

}  // namespace braird::test
