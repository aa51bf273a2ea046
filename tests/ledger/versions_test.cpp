// SPDX-License-Identifier: Apache-2.0
// Ledgers of every version, and files that are none.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <fstream>
#include <iterator>

#include "calibration/ledger/keep.h"
#include "calibration/ledger/schema.h"
#include "tests/ledger/made_trays.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

namespace {

/// A ledger as the program of that version left it, with one lot in it.
void make_version(const std::filesystem::path& path, std::size_t version) {
  const Database file(path, Access::write);
  for (std::size_t at = 0; at < version; ++at) file.run(migrations()[at]);
  file.run(fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {}", kApplicationId, version));
  file.run("INSERT INTO lots (name, crop) VALUES ('Rowan 12', 'kale')");
}

std::string lot_in(const Ledger& ledger) {
  Statement row = ledger.file().prepare("SELECT name || ', ' || crop FROM lots");
  return row.next() ? row.text(0) : "";
}

}  // namespace

TEST_CASE("every older version opens, to write and to read, and reading leaves it as it was") {
  for (std::size_t version = 1; version <= migrations().size(); ++version) {
    CAPTURE(version);
    const LedgerFolder folder;
    make_version(folder.file(), version);
    const std::string before = content_of(folder.file());
    CHECK(lot_in(Ledger(folder.file(), Access::read)) == "Rowan 12, kale");
    CHECK(content_of(folder.file()) == before);
    CHECK(lot_in(Ledger(folder.file(), Access::write)) == "Rowan 12, kale");
    CHECK(version_of(Database(folder.file(), Access::read)) == newest_version());
  }
}

TEST_CASE("a step of before a table got columns is taken back") {
  const LedgerFolder folder;
  std::mt19937 random{2};
  Ledger ledger(folder.file(), Access::write);
  keep(ledger, hash_of("a"), census_of({seen_on(grown({}, random), 7, {}, random)}, "a"), {});
  for (const char* column : {"counts_again", "seeds_in_view"})
    ledger.file().run(fmt::format("ALTER TABLE censuses DROP COLUMN {}", column));
  {
    Ledger before(folder.file(), Access::write);
    before.step("before", [&] { before.file().run("UPDATE censuses SET fit = 0.5; DELETE FROM censuses"); });
  }
  for (const std::string& added : migrations().last(2)) ledger.file().run(added);
  ledger.undo();
  CHECK(ledger.file().single("SELECT count(*) FROM censuses WHERE fit <> 0.5") == 1);
  ledger.undo();
  CHECK(ledger.file().single("SELECT count(*) FROM censuses") == 0);
}

TEST_CASE("a newer version gets one sentence and is not touched") {
  const LedgerFolder folder;
  make_version(folder.file(), migrations().size());
  Database(folder.file(), Access::write).run(fmt::format("PRAGMA user_version = {}", newest_version() + 1));
  const std::string before = content_of(folder.file());
  for (const Access access : {Access::read, Access::write})
    CHECK_THROWS_WITH_AS(Ledger(folder.file(), access), doctest::Contains("newer than this braird knows"),
                         LedgerTrouble);
  CHECK(content_of(folder.file()) == before);
}

TEST_CASE("a missing ledger is an empty one to read, and is not made") {
  const LedgerFolder folder;
  CHECK(lot_in(Ledger(folder.file("none"), Access::read)) == "");
  CHECK_FALSE(std::filesystem::exists(folder.file("none")));
}

TEST_CASE("files that are no ledger get one sentence and are not touched") {
  const LedgerFolder folder;
  std::ofstream(folder.file("words"))
      << "Sown on Friday, rather late. No database at all, just words of a diary.";
  Database(folder.file("other"), Access::write).run("CREATE TABLE recipes (id INTEGER)");
  for (const char* name : {"words", "other"}) {
    CAPTURE(name);
    const std::string before = content_of(folder.file(name));
    for (const Access access : {Access::read, Access::write})
      CHECK_THROWS_AS(Ledger(folder.file(name), access), LedgerTrouble);
    CHECK(content_of(folder.file(name)) == before);
  }
  CHECK_THROWS_WITH_AS(Ledger(folder.path, Access::write), doctest::Contains("this is a folder"),
                       LedgerTrouble);
}

namespace {

/// Two lots, A and B, of one tray each, and figures kept for both.
struct KeptFigures {
  LedgerFolder folder;
  Ledger ledger{folder.file(), Access::write};
  std::mt19937 random{2};

  KeptFigures() {
    keep_one("a", "A");
    keep_one("b", "B");
  }
  void keep_one(const std::string& name, const std::string& lot) {
    keep(ledger, hash_of(name), census_of({seen_on(grown({}, random), 7, {}, random)}, name), {lot, {}, {}});
  }
  /// How many lots' figures are left?
  std::int64_t left_by(const char* change) const {
    ledger.file().run("INSERT OR REPLACE INTO summaries SELECT id, 'x', '{}' FROM lots");
    ledger.file().run(change);
    return ledger.file().single("SELECT count(*) FROM summaries");
  }
};

}  // namespace

TEST_CASE("figures kept for a lot go when anything they stand on changes") {
  const KeptFigures kept;
  for (const char* change :
       {"UPDATE lots SET supplier = 'x' WHERE name = 'A'", "UPDATE lots SET crop = 'leek' WHERE name = 'A'",
        "UPDATE sowings SET topping = 'sand' WHERE id = 1", "UPDATE photos SET taken = 'x' WHERE id = 1",
        "UPDATE censuses SET fit = 0.5 WHERE id = 1", "DELETE FROM censuses WHERE id = 1"}) {
    CAPTURE(change);
    CHECK(kept.left_by(change) == 1);
  }
}

TEST_CASE("figures of all lots go when a check changes, or what it was made of") {
  KeptFigures kept;
  kept.keep_one("c", "C");  // never checked
  for (const char* change :
       {"INSERT INTO checks VALUES (1, 0, 1, 1), (2, 0, 1, 1)",
        "UPDATE checks SET seedlings = 0 WHERE census = 1", "DELETE FROM checks WHERE census = 2",
        "UPDATE censuses SET fit = 0.5 WHERE id = 1", "UPDATE lots SET crop = 'leek' WHERE name = 'B'",
        "UPDATE trays SET sowing = 2 WHERE id = 1", "UPDATE censuses SET tray = 2 WHERE id = 1",
        "DELETE FROM censuses WHERE id = 1"}) {
    CAPTURE(change);
    CHECK(kept.left_by(change) == 0);
  }
  CHECK(kept.left_by("UPDATE censuses SET fit = 0.5 WHERE id = 3") == 2);
}
