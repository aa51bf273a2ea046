// SPDX-License-Identifier: Apache-2.0
// A ledger in a folder of its own, trays kept in it, and what it says of a lot.
#pragma once

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "calibration/calendar_day.h"
#include "calibration/ledger/keep.h"
#include "calibration/ledger/lot_summary.h"
#include "tests/ledger/made_trays.h"

namespace braird::test {

struct KeptBench {
  LedgerFolder folder;
  ledger::Ledger ledger{folder.file(), ledger::Access::write};
  int photos = 0;

  void keep_tray(const Tray& tray, const std::string& lot, const std::string& sown, int day = 7,
                 std::optional<std::string> tag = {}) {
    const std::string name = fmt::format("photo-{}.jpg", ++photos);
    const std::chrono::year_month_day taken = *calendar_day(sown) + std::chrono::days(day);
    const std::string noon =
        fmt::format("{:04}-{:02}-{:02}T12:00:00", static_cast<int>(taken.year()),
                    static_cast<unsigned>(taken.month()), static_cast<unsigned>(taken.day()));
    ledger::keep(ledger, hash_of(name), census_of({tray}, name, noon), {lot, sown, std::move(tag), true});
  }
  ledger::LotSummary lot(const std::string& name) {
    return ledger::summarise(ledger, ledger::read_lot(ledger, name));
  }
};

inline void check_rate(const std::optional<Estimate>& rate, const Estimate& expected) {
  REQUIRE(rate.has_value());
  CHECK(rate->estimate == doctest::Approx(expected.estimate).epsilon(1e-9));
  CHECK(rate->low == doctest::Approx(expected.low).epsilon(1e-9));
  CHECK(rate->high == doctest::Approx(expected.high).epsilon(1e-9));
  CHECK(rate->method == expected.method);
}

}  // namespace braird::test
