// SPDX-License-Identifier: Apache-2.0
#include "calibration/ledger/schema.h"

#include <fmt/format.h>

#include <array>

namespace braird::ledger {
namespace {

// Version 1. Days are "YYYY-MM-DD". A census stands in its tray's own numbering, whichever way the photo was
// taken. `counts`, `places` and `plants` are packed cells (packing.h).
constexpr const char* kTables = R"sql(
CREATE TABLE lots (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE CHECK (name <> ''),
  crop TEXT, variety TEXT, supplier TEXT,
  tested_on TEXT,
  stated_percent REAL CHECK (stated_percent BETWEEN 0 AND 100),
  treated INTEGER CHECK (treated IN (0, 1))
) STRICT;
CREATE TABLE sowings (
  id INTEGER PRIMARY KEY,
  lot INTEGER NOT NULL REFERENCES lots,
  sown_on TEXT,
  rows INTEGER NOT NULL, cols INTEGER NOT NULL, staggered INTEGER NOT NULL CHECK (staggered IN (0, 1)),
  seeds_per_cell INTEGER CHECK (seeds_per_cell >= 1),
  plate TEXT, topping TEXT, temperature_c REAL
) STRICT;
CREATE UNIQUE INDEX sowing_of ON sowings
  (lot, ifnull(sown_on, ''), rows, cols, staggered, ifnull(seeds_per_cell, 0));
CREATE TABLE trays (
  id INTEGER PRIMARY KEY,
  sowing INTEGER NOT NULL REFERENCES sowings,
  tag TEXT UNIQUE
) STRICT;
CREATE INDEX trays_of ON trays (sowing);
CREATE TABLE photos (
  id INTEGER PRIMARY KEY,
  hash BLOB NOT NULL UNIQUE,
  file TEXT NOT NULL,
  width INTEGER NOT NULL, height INTEGER NOT NULL,
  taken TEXT,
  remarks TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE censuses (
  id INTEGER PRIMARY KEY,
  photo INTEGER NOT NULL REFERENCES photos ON DELETE CASCADE,
  number INTEGER NOT NULL,
  tray INTEGER NOT NULL REFERENCES trays,
  by_label INTEGER NOT NULL CHECK (by_label IN (0, 1)),
  corners BLOB NOT NULL,
  pitch_px REAL NOT NULL, fit REAL NOT NULL,
  counts BLOB NOT NULL, places BLOB NOT NULL, plants BLOB NOT NULL,
  UNIQUE (photo, number)
) STRICT;
CREATE INDEX censuses_of ON censuses (tray);
CREATE TABLE checks (
  census INTEGER NOT NULL REFERENCES censuses ON DELETE CASCADE,
  cell INTEGER NOT NULL,
  seedlings INTEGER NOT NULL CHECK (seedlings >= 0),
  drawn INTEGER NOT NULL CHECK (drawn IN (0, 1)),
  PRIMARY KEY (census, cell)
) STRICT, WITHOUT ROWID;
CREATE TABLE decisions (
  id INTEGER PRIMARY KEY,
  lot INTEGER NOT NULL REFERENCES lots,
  sowing INTEGER REFERENCES sowings ON DELETE SET NULL,
  tray INTEGER REFERENCES trays ON DELETE SET NULL,
  decided_on TEXT,
  words TEXT NOT NULL
) STRICT;
)sql";

// Version 2: what a step changed, so that it can be taken back; and each lot's figures, kept until something
// they stand on changes.
constexpr const char* kStepsAndSummaries =
    R"sql(
CREATE TABLE steps (
  id INTEGER PRIMARY KEY,
  run TEXT NOT NULL,
  words TEXT NOT NULL,
  inverse BLOB NOT NULL
) STRICT;
CREATE TABLE summaries (
  lot INTEGER PRIMARY KEY REFERENCES lots ON DELETE CASCADE,
  program TEXT NOT NULL,
  content TEXT NOT NULL
) STRICT;
CREATE TRIGGER lot_changed AFTER UPDATE ON lots BEGIN
  DELETE FROM summaries WHERE lot = new.id;
END;
CREATE TRIGGER sowing_changed AFTER UPDATE ON sowings BEGIN
  DELETE FROM summaries WHERE lot IN (old.lot, new.lot);
END;
CREATE TRIGGER sowing_gone AFTER DELETE ON sowings BEGIN
  DELETE FROM summaries WHERE lot = old.lot;
END;
CREATE TRIGGER sowing_new AFTER INSERT ON sowings BEGIN
  DELETE FROM summaries WHERE lot = new.lot;
END;
CREATE TRIGGER tray_moved AFTER UPDATE OF sowing ON trays BEGIN
  DELETE FROM summaries WHERE lot IN (SELECT lot FROM sowings WHERE id IN (old.sowing, new.sowing));
END;
CREATE TRIGGER census_new AFTER INSERT ON censuses BEGIN
  DELETE FROM summaries WHERE lot =
    (SELECT lot FROM sowings JOIN trays ON trays.sowing = sowings.id WHERE trays.id = new.tray);
END;
CREATE TRIGGER census_changed AFTER UPDATE ON censuses BEGIN
  DELETE FROM summaries WHERE lot IN
    (SELECT lot FROM sowings JOIN trays ON trays.sowing = sowings.id WHERE trays.id IN (old.tray, new.tray));
END;
CREATE TRIGGER census_gone BEFORE DELETE ON censuses BEGIN
  DELETE FROM summaries WHERE lot =
    (SELECT lot FROM sowings JOIN trays ON trays.sowing = sowings.id WHERE trays.id = old.tray);
END;
CREATE TRIGGER photo_changed AFTER UPDATE OF taken ON photos BEGIN
  DELETE FROM summaries WHERE lot IN
    (SELECT lot FROM sowings JOIN trays ON trays.sowing = sowings.id
     JOIN censuses ON censuses.tray = trays.id WHERE censuses.photo = new.id);
END;
)sql"
    // A check tells of the counter's error in every tray of that shape.
    R"sql(
CREATE VIEW shape_of_census AS
  SELECT censuses.id AS census, rows, cols, staggered FROM censuses
  JOIN trays ON trays.id = censuses.tray JOIN sowings ON sowings.id = trays.sowing;
CREATE TRIGGER check_new AFTER INSERT ON checks BEGIN
  DELETE FROM summaries WHERE lot IN (SELECT lot FROM sowings WHERE (rows, cols, staggered) =
    (SELECT rows, cols, staggered FROM shape_of_census WHERE census = new.census));
END;
CREATE TRIGGER check_changed AFTER UPDATE ON checks BEGIN
  DELETE FROM summaries WHERE lot IN (SELECT lot FROM sowings WHERE (rows, cols, staggered) =
    (SELECT rows, cols, staggered FROM shape_of_census WHERE census = new.census));
END;
CREATE TRIGGER check_gone AFTER DELETE ON checks BEGIN
  DELETE FROM summaries WHERE lot IN (SELECT lot FROM sowings WHERE (rows, cols, staggered) IN
    (SELECT rows, cols, staggered FROM shape_of_census WHERE census = old.census));
END;
)sql";

// Version 3: a check tells of the counter's error in any lot whose trays are of its kind, and of what kind it
// is stands with its own census, tray and lot.
constexpr const char* kSummariesByChecks = R"sql(
DROP TRIGGER check_new;
DROP TRIGGER check_changed;
DROP TRIGGER check_gone;
DROP VIEW shape_of_census;
CREATE TRIGGER check_new AFTER INSERT ON checks BEGIN DELETE FROM summaries; END;
CREATE TRIGGER check_changed AFTER UPDATE ON checks BEGIN DELETE FROM summaries; END;
CREATE TRIGGER check_gone AFTER DELETE ON checks BEGIN DELETE FROM summaries; END;
CREATE TRIGGER checked_census_changed AFTER UPDATE ON censuses
  WHEN EXISTS (SELECT 1 FROM checks WHERE census = new.id) BEGIN
  DELETE FROM summaries;
END;
CREATE TRIGGER checked_tray_moved AFTER UPDATE OF sowing ON trays
  WHEN EXISTS (SELECT 1 FROM checks JOIN censuses ON censuses.id = census WHERE tray = new.id) BEGIN
  DELETE FROM summaries;
END;
CREATE TRIGGER checked_lot_changed AFTER UPDATE OF crop ON lots
  WHEN old.crop IS NOT new.crop AND EXISTS (SELECT 1 FROM checks) BEGIN
  DELETE FROM summaries;
END;
)sql";

// Version 4: what a photo shows to the counter for trays that come up (rereading.h) stands beside its first
// counts, which speak again once no later photo of the tray is there.
constexpr const char* kCountsAgain = R"sql(
ALTER TABLE censuses ADD COLUMN counts_again BLOB;
)sql";

// Version 5: where nothing had come up, in which share of the cells in the middle seeds lay in view.
constexpr const char* kSeedsInView = R"sql(
ALTER TABLE censuses ADD COLUMN seeds_in_view REAL;
)sql";

std::string sentence(const Database& file, const char* clause) {
  return fmt::format("the ledger {}: {}", file.file().string(), clause);
}

}  // namespace

std::span<const std::string> migrations() {
  static const std::array<std::string, 5> steps = {kTables, kStepsAndSummaries, kSummariesByChecks,
                                                   kCountsAgain, kSeedsInView};
  return steps;
}

std::int64_t version_of(const Database& file) {
  file.run("SAVEPOINT look");  // one moment's view, while another program may be making the ledger
  const std::int64_t tables = file.single("SELECT count(*) FROM sqlite_schema"),
                     owner = file.single("PRAGMA application_id"),
                     version = file.single("PRAGMA user_version");
  file.run("RELEASE look");
  const bool empty = tables == 0;
  if (owner != kApplicationId && !(empty && owner == 0))
    throw LedgerTrouble(sentence(file, "this is another program's file; name another with --ledger"));
  if (version > newest_version())
    throw LedgerTrouble(fmt::format(
        "the ledger {}: it has version {}, newer than this braird knows ({}); install a newer braird. The "
        "ledger was left as it is",
        file.file().string(), version, newest_version()));
  return version;
}

void migrate(const Database& file) {
  if (version_of(file) == newest_version()) return;
  file.transaction([&] {
    const auto steps = migrations();
    // Asked again inside: another program may have been quicker.
    for (auto version = static_cast<std::size_t>(version_of(file)); version < steps.size(); ++version)
      file.run(steps[version]);
    file.run(
        fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {}", kApplicationId, steps.size()));
  });
}

}  // namespace braird::ledger
