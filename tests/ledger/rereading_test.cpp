// SPDX-License-Identifier: Apache-2.0
// Which kept photos are to be read again, and their counts replaced.
#include "calibration/ledger/rereading.h"

#include <doctest/doctest.h>

#include "calibration/ledger/history.h"
#include "calibration/ledger/keep.h"
#include "calibration/ledger/notes.h"
#include "tests/ledger/all_tables.h"
#include "tests/ledger/made_trays.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

namespace {

const Layout kShape{8, 16, LatticeKind::square};

/// Photos of tray K7, each of so many cells up; the photo kept as NAME is called NAME, too.
struct Tagged {
  LedgerFolder folder;
  Ledger ledger{folder.file(), Access::write};

  std::vector<Rereading> keep_photo(const std::string& name, const std::string& taken, int up) {
    keep(ledger, hash_of(name), census_of({sure_tray(kShape, up)}, name, taken),
         {"Rowan 12", "2026-04-02", "K7", true});
    return to_read_again(ledger, hash_of(name));
  }
  int up_in(const std::string& name) const {
    return summarise(find_census(ledger, name).census.tray).seedlings;
  }
};

std::vector<std::string> names_of(const std::vector<KeptCensus>& censuses) {
  std::vector<std::string> names;
  for (const KeptCensus& census : censuses) names.push_back(census.file);
  return names;
}

}  // namespace

TEST_CASE("all earlier photos are read again once a later one is kept, and a belated one itself") {
  Tagged tray;
  const auto alone = tray.keep_photo("b", "2026-04-08T09:00:00", 60);
  REQUIRE(alone.size() == 1);
  CHECK(alone[0].earlier.empty());
  const auto timeless = tray.keep_photo("timeless", "", 70);
  REQUIRE(timeless.size() == 1);
  CHECK(timeless[0].earlier.empty());
  tray.keep_photo("c", "2026-04-09T09:00:00", 80);
  const auto latest = tray.keep_photo("d", "2026-04-10", 90);
  REQUIRE(latest.size() == 1);
  CHECK(latest[0].latest_is_new);
  CHECK(names_of(latest[0].earlier) == std::vector<std::string>{"b", "c"});
  const auto belated = tray.keep_photo("a", "2026-04-07T09:00:00", 40);
  REQUIRE(belated.size() == 1);
  CHECK_FALSE(belated[0].latest_is_new);
  CHECK(names_of(belated[0].earlier) == std::vector<std::string>{"a"});
  CHECK(names_of(tray.keep_photo("same moment", "2026-04-10", 90)[0].earlier) ==
        std::vector<std::string>{"a", "b", "c"});
}

TEST_CASE("counts are replaced in the run's own steps, but not under hand checks") {
  Tagged tray;
  tray.keep_photo("a", "2026-04-08", 60);
  {
    Ledger second(tray.folder.file(), Access::write);
    keep(second, hash_of("b"), census_of({sure_tray(kShape, 90)}, "b", "2026-04-09"),
         {"Rowan 12", "2026-04-02", "K7", true});
    const auto todo = to_read_again(second, hash_of("b"));
    REQUIRE(todo.at(0).earlier.size() == 1);
    CHECK(replace_counts(second, todo[0].earlier[0], sure_tray(kShape, 66)));
    CHECK_FALSE(replace_counts(second, todo[0].earlier[0], sure_tray({6, 12, LatticeKind::square}, 66)));
  }
  CHECK(tray.up_in("a") == 66);
  CHECK(Ledger(tray.folder.file(), Access::write).undo() ==
        std::vector<std::string>{"read a again", "kept b"});
  CHECK(tray.up_in("a") == 60);

  const auto todo = tray.keep_photo("b", "2026-04-09", 90);
  tray.ledger.file().run(
      "INSERT INTO checks (census, cell, seedlings, drawn) SELECT id, 3, 1, 1 FROM censuses");
  CHECK_FALSE(replace_counts(tray.ledger, todo.at(0).earlier.at(0), sure_tray(kShape, 66)));
  CHECK(tray.up_in("a") == 60);
  CHECK(to_read_again(tray.ledger, hash_of("b")).at(0).earlier.empty());
}

TEST_CASE("a photo that is its tray's latest once more has its first counts, and again those read again") {
  Tagged tray;
  tray.keep_photo("a", "2026-04-08", 60);
  const auto keep_b_on = [&](const std::string& day) { return tray.keep_photo("b", day, 90); };
  REQUIRE(replace_counts(tray.ledger, keep_b_on("2026-04-09").at(0).earlier.at(0), sure_tray(kShape, 66)));
  CHECK(tray.up_in("a") == 66);
  keep_b_on("2026-04-07");
  CHECK(tray.up_in("a") == 60);
  keep_b_on("2026-04-09");
  CHECK(tray.up_in("a") == 66);
  keep(tray.ledger, hash_of("b"), census_of({sure_tray(kShape, 90)}, "b"), {"Rowan 12", "2026-04-02", "K8"});
  CHECK(tray.up_in("a") == 60);
}

TEST_CASE("the counter's error is that of the first counts, as of the photos that rates are made from") {
  Tagged tray;
  tray.keep_photo("a", "2026-04-08", 60);
  const auto todo = tray.keep_photo("b", "2026-04-09", 90);
  replace_counts(tray.ledger, todo.at(0).earlier.at(0), sure_tray(kShape, 66));
  note_checks(tray.ledger, find_census(tray.ledger, "a").census, {{62, 0, true}});
  const auto checks = counter_checks(tray.ledger, {"kale", kShape, 1});
  REQUIRE(checks.size() == 1);
  CHECK(checks[0].reading.seedlings == 0);
}

TEST_CASE("counts read again are exported beside the first ones, and come back with them") {
  Tagged tray;
  tray.keep_photo("a", "2026-04-08", 60);
  const Tables before = all_tables(tray.ledger);
  const auto todo = tray.keep_photo("b", "2026-04-09", 90);
  replace_counts(tray.ledger, todo.at(0).earlier.at(0), sure_tray(kShape, 66));
  const Tables tables = all_tables(tray.ledger);
  CHECK(tables.at("cells").at(62)[6] == "1");
  CHECK(tables.at("cells").at(62)[10] == "0");
  CHECK(tables.at("cells").at(200)[10] == "");

  Ledger other(tray.folder.file("other"), Access::write);
  import_tables(other, tables);
  CHECK(all_tables(other) == tables);
  import_tables(other, before);  // of a computer that has the first photo only
  CHECK(all_tables(other) == tables);
  keep(other, hash_of("b"), census_of({sure_tray(kShape, 90)}, "b", "2026-04-07"), {});
  CHECK(summarise(find_census(other, "a").census.tray).seedlings == 60);

  auto faulty = tables;
  faulty["cells"].at(62)[10] = "";
  CHECK_THROWS_WITH(import_tables(other, faulty),
                    doctest::Contains("cells holds first_count for some cells of this census only"));
}

TEST_CASE("a photo stands as long as its file has the same bytes") {
  const LedgerFolder folder;
  const auto path = folder.path / "a.jpg";
  std::ofstream(path) << "a photo";
  KeptCensus census;
  census.file = path.string(), census.hash = content_hash(path);
  CHECK(still_stands(census));
  std::ofstream(path, std::ios::app) << ", edited";
  CHECK_FALSE(still_stands(census));
  std::filesystem::remove(path);
  CHECK_FALSE(still_stands(census));
}
