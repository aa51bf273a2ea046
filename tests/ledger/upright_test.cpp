// SPDX-License-Identifier: Apache-2.0
// Trays whose rows run across one photo and down another.
#include <doctest/doctest.h>

#include "calibration/ledger/history.h"
#include "calibration/ledger/keep.h"
#include "tests/ledger/kept_bench.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

TEST_CASE("a square tray photographed upright once and across another time is one tray") {
  KeptBench bench;
  std::mt19937 random(27);
  const GrownTray tray = grown({}, random);
  const auto photo = [&](const Tray& seen, const char* name, const char* taken,
                         std::optional<std::string> tag = {}) {
    return keep(bench.ledger, hash_of(name), census_of({seen}, name, taken),
                {"Rowan 12", "2026-04-01", tag, {}});
  };
  photo(seen_on(tray, 9, {}, random), "across.jpg", "2026-04-10T09:00:00");
  const Tray upright = quarter_turned(seen_on(tray, 11, {}, random));
  REQUIRE(upright.layout == Layout{16, 8, LatticeKind::square});
  const Keeping kept = photo(upright, "upright.jpg", "2026-04-12T09:00:00");
  CHECK(kept.trays.at(0).across == Layout{8, 16, LatticeKind::square});
  CHECK(kept.trays.at(0).photos_of_tray == 2);
  CHECK(photo(quarter_turned(half_turned(seen_on(tray, 12, {}, random))), "over.jpg", "2026-04-13T09:00:00")
            .trays.at(0)
            .photos_of_tray == 3);
  const auto sowings = read_lot(bench.ledger, "Rowan 12").sowings;
  REQUIRE(sowings.size() == 1);
  REQUIRE(sowings[0].trays.size() == 1);
  const auto& censuses = sowings[0].trays[0].censuses;
  CHECK(match_trays(censuses.at(0).tray, censuses.at(1).tray).verdict == SameTray::same);
  CHECK(match_trays(censuses.at(0).tray, censuses.at(2).tray).verdict == SameTray::same);
  SUBCASE("kept again it stays there") {
    CHECK(photo(upright, "upright.jpg", "2026-04-12T09:00:00").trays.at(0).photos_of_tray == 3);
  }
  SUBCASE("alone it takes the shape that it is told now") {
    Told other{"Rowan 13", "2026-04-01", {}, {}};
    keep(bench.ledger, hash_of("alone"), census_of({upright}, "alone.jpg"), other);
    keep(bench.ledger, hash_of("alone"), census_of({quarter_turned(upright)}, "alone.jpg"), other);
    const auto alone = read_lot(bench.ledger, "Rowan 13").sowings;
    REQUIRE(alone.size() == 1);
    CHECK(alone[0].facts.layout == Layout{8, 16, LatticeKind::square});
  }
  SUBCASE("of its lot's other sowings, where its own has no photo yet") {
    const Tray later = quarter_turned(seen_on(grown({}, random), 9, {}, random));
    const Told sown_later{"Rowan 12", "2026-05-01", {}, {}};
    CHECK(keep(bench.ledger, hash_of("later"), census_of({later}, "later.jpg"), sown_later)
              .trays.at(0)
              .across == Layout{8, 16, LatticeKind::square});
  }
  SUBCASE("by its tag, too") {
    photo(seen_on(tray, 13, {}, random), "tagged.jpg", "2026-04-14T09:00:00", "K7");
    const Keeping tagged = photo(quarter_turned(seen_on(tray, 14, {}, random)), "tagged upright.jpg",
                                 "2026-04-15T09:00:00", "K7");
    CHECK(tagged.trays.at(0).across == Layout{8, 16, LatticeKind::square});
  }
}

TEST_CASE("four quarter turns number a tray as it was") {
  std::mt19937 random(3);
  const Tray tray = seen_on(grown({.layout = {3, 5, LatticeKind::square}}, random), 9, {}, random);
  const Tray once = quarter_turned(tray), twice = quarter_turned(once), back = half_turned(twice);
  CHECK(cell_at(once, 4, 2).count == cell_at(tray, 2, 0).count);
  CHECK(cell_at(once, 0, 1).count == cell_at(tray, 1, 4).count);
  CHECK(once.corners_px[0].x == tray.corners_px[1].x);
  REQUIRE(back.layout == tray.layout);
  for (std::size_t at = 0; at < tray.cells.size(); ++at) {
    CHECK(back.cells[at].row == tray.cells[at].row);
    CHECK(back.cells[at].probability == tray.cells[at].probability);
    CHECK(back.cells[at].plant.has_value() == tray.cells[at].plant.has_value());
    if (back.cells[at].plant) CHECK(back.cells[at].plant->x == tray.cells[at].plant->x);
  }
}
