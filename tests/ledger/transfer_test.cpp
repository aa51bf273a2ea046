// SPDX-License-Identifier: Apache-2.0
// Out as tables and in again, to the same content.
#include "calibration/ledger/transfer.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "calibration/ledger/history.h"
#include "calibration/ledger/keep.h"
#include "calibration/ledger/notes.h"
#include "tests/ledger/all_tables.h"
#include "tests/ledger/made_trays.h"

using namespace braird;
using namespace braird::ledger;
using namespace braird::test;

namespace {

/// A season with something in every table, hostile text included.
void fill(Ledger& ledger) {
  std::mt19937 random(31);
  const std::string lot = "Rowan \"12\", the; <best>\nof all";
  for (int day = 6; day < 9; ++day) {
    const Tray one = seen_on(grown({}, random), day, {}, random);
    const Tray two = seen_on(grown({.layout = {22, 12, LatticeKind::staggered}}, random), day, {}, random);
    Census census =
        census_of({one, two}, fmt::format("bench {}.jpg", day), fmt::format("2026-04-{:02}T09:00:00", day));
    census.remarks = {"a second tray is cut off", "and a \"third\""};
    keep(ledger, hash_of(fmt::format("{}", day)), census, {lot, "2026-04-01", {}, false});
  }
  keep(ledger, hash_of("tagged"), census_of({seen_on(grown({}, random), 7, {}, random)}, "t.jpg"),
       {"B", {}, "K7", false});
  Tray sown = sure_tray({8, 16, LatticeKind::square}, 0);
  sown.seeds_in_view = 0.875;
  keep(ledger, hash_of("sown"), census_of({sown}, "s.jpg"), {"D", {}, {}, false});
  take_note(ledger, {{lot, {}, "Curly", "Tarnholt", "2026-01-10", 92.5, true},
                     {},
                     Decision{"2026-04-12", "2026-04-01", {}, "filled, then\nwaited"}});
  note_checks(ledger, find_census(ledger, "K7").census, {{0, 1, true}, {5, 0, false}});
}

}  // namespace

TEST_CASE("what was exported comes back into an empty ledger to the same content") {
  const LedgerFolder folder;
  Ledger first(folder.file("first"), Access::write), second(folder.file("second"), Access::write);
  fill(first);
  const auto tables = all_tables(first);
  import_tables(second, tables);
  for (const auto& [name, table] : all_tables(second)) {
    CAPTURE(name);
    REQUIRE(table.size() == tables.at(name).size());
    for (std::size_t row = 0; row < table.size(); ++row)
      CHECK(fmt::format("{}", fmt::join(table[row], "|")) ==
            fmt::format("{}", fmt::join(tables.at(name)[row], "|")));
  }
  import_tables(second, tables);  // a second time changes nothing
  CHECK(all_tables(second) == tables);
  second.undo();
  CHECK(export_table(second, "photos").size() == 1);
}

TEST_CASE("a faulty table is refused with its row, and nothing is taken in") {
  const LedgerFolder folder;
  Ledger first(folder.file("first"), Access::write), second(folder.file("second"), Access::write);
  fill(first);
  const auto good = all_tables(first);
  const auto refused = [&](const char* table, std::size_t row, std::size_t column, const char* field) {
    CAPTURE(table);
    CAPTURE(field);
    auto bad = good;
    bad[table].at(row).at(column) = field;
    CHECK_THROWS_AS(import_tables(second, bad), std::invalid_argument);
    CHECK(export_table(second, "lots").size() == 1);
  };
  refused("lots", 1, 0, "");
  refused("lots", 1, 0, "Bl\xE9");
  refused("lots", 1, 6, "perhaps");
  refused("sowings", 1, 1, "no such lot");
  for (const char* no_day : {"2026-99-03", "20.11.2025", "2026-02-29", "2026-04-01T09:00:00"}) {
    refused("lots", 1, 4, no_day);
    refused("sowings", 1, 2, no_day);
    refused("decisions", 1, 3, no_day);
  }
  refused("photos", 1, 4, "2026-04-06 09:00");
  refused("sowings", 1, 3, "0");
  refused("sowings", 1, 5, "round");
  refused("trays", 1, 1, "99");
  refused("photos", 1, 0, "xyz");
  refused("censuses", 1, 2, "99");
  refused("censuses", 1, 4, "1 2 3");
  refused("cells", 1, 2, "2");
  refused("cells", 1, 7, "0.5 x");
  refused("cells", 1, 7, "1.5");
  refused("checks", 1, 2, "9");
  refused("decisions", 1, 4, "");
  CHECK_THROWS_WITH(import_tables(second, {{"lots", {{"lot", "treated"}, {"A", "no"}, {"B", "2"}}}}),
                    "lots, row 3: treated is \"2\", but must be yes or no");
  CHECK_THROWS_WITH(import_tables(second, {{"lots", {{"lot", "tested_on"}, {"A", "20.11.2025"}}}}),
                    "lots, row 2: tested_on is \"20.11.2025\", but must be a date, as in 2026-03-19");
}

TEST_CASE("a tag that stands for a tray of another sowing is refused, and nothing is taken in") {
  const LedgerFolder folder;
  Ledger ledger(folder.file(), Access::write);
  SowingFacts sowing;
  sowing.layout = {6, 12, LatticeKind::square};
  new_tagged_trays(ledger, "Z", {}, sowing, 1);
  const std::map<std::string, TextTable> tables = {
      {"lots", {{"lot"}, {"Rowan 12"}, {"Z"}}},
      {"sowings", {{"sowing", "lot", "sown_on", "rows", "cols"}, {"7", "Rowan 12", "2026-03-03", "6", "12"}}},
      {"trays", {{"tray", "sowing", "tag"}, {"9", "7", "A1"}}}};
  CHECK_THROWS_WITH(import_tables(ledger, tables),
                    "trays, row 2: tag A1 is that of a tray of lot Z (sown on an unknown day, 6 x 12 cells, "
                    "seeds a cell: unknown) in the ledger, but of lot Rowan 12 (sown on 2026-03-03, 6 x 12 "
                    "cells, seeds a cell: unknown) in the table; import into a ledger of its own, or change "
                    "the tag in the table");
  CHECK(lot_names(ledger, {}) == std::vector<std::string>{"Z"});
  auto own = tables;
  own["sowings"][1] = {"7", "Z", "", "6", "12"};
  import_tables(ledger, own);
  CHECK(export_table(ledger, "trays").size() == 2);
}

TEST_CASE("several folders are taken in as one step, their numbers apart") {
  const LedgerFolder folder;
  Ledger ledger(folder.file(), Access::write);
  const auto tables_of = [](const std::string& lot, const std::string& rows, const std::string& tag) {
    return Tables{{"lots", {{"lot"}, {lot}}},
                  {"sowings", {{"sowing", "lot", "rows", "cols"}, {"1", lot, rows, "12"}}},
                  {"trays", {{"tray", "sowing", "tag"}, {"1", "1", tag}}}};
  };
  Imported taken = import_folders(
      ledger, {{"north", tables_of("Alpha", "6", "A1")}, {"south", tables_of("Beta", "8", "B1")}});
  CHECK(taken["trays"] == 2);
  CHECK(read_lot(ledger, "Alpha").sowings.at(0).trays.at(0).tag == "A1");
  CHECK(read_lot(ledger, "Beta").sowings.at(0).trays.at(0).tag == "B1");
  CHECK(read_lot(ledger, "Beta").sowings.at(0).facts.layout.rows == 8);
  CHECK_THROWS_WITH(import_folders(ledger, {{"west", tables_of("Gamma", "6", "C1")},
                                            {"east", {{"trays", {{"tray", "sowing"}, {"2", "1"}}}}}}),
                    "east: trays, row 2: sowing 1 is not in sowings");
  CHECK(lot_names(ledger, {}) == std::vector<std::string>{"Alpha", "Beta"});
  CHECK(ledger.undo().size() == 1);
  CHECK(lot_names(ledger, {}).empty());
}

TEST_CASE("cells without their census are refused, not passed over") {
  const LedgerFolder folder;
  Ledger first(folder.file("first"), Access::write), second(folder.file("second"), Access::write);
  fill(first);
  CHECK_THROWS_WITH(import_tables(second, {{"cells", export_table(first, "cells")}}),
                    doctest::Contains("is not in censuses; cells are taken in with censuses and trays"));
}

TEST_CASE("a list of lots alone fills in what the ledger does not know") {
  const LedgerFolder folder;
  Ledger ledger(folder.file(), Access::write);
  fill(ledger);
  import_tables(ledger,
                {{"lots", {{"lot", "supplier", "stated_percent"}, {"B", "Ebbwater", "88"}, {"C", "", ""}}}});
  CHECK(read_lot(ledger, "B").facts.supplier == "Ebbwater");
  CHECK(read_lot(ledger, "B").sowings.size() == 1);
  CHECK(read_lot(ledger, "C").sowings.empty());
  CHECK_THROWS_WITH(
      import_tables(ledger, {{"lots", {{"lot", "stated_percent"}, {"C", "0.92"}}}}),
      "lots, row 2: the stated germination is 0.92, but must be in percent, from 2 to 100, as in 92");
}

TEST_CASE("photos taken in without their times keep those that the ledger knows") {
  const LedgerFolder folder;
  Ledger ledger(folder.file(), Access::write);
  fill(ledger);
  const TextTable known = export_table(ledger, "photos");
  TextTable moved = {{"photo", "file", "width", "height", "remarks"}};
  for (std::size_t row = 1; row < known.size(); ++row)
    moved.push_back({known[row][0], "moved/" + known[row][1], known[row][2], known[row][3], known[row][5]});
  import_tables(ledger, {{"photos", moved}});
  const TextTable now = export_table(ledger, "photos");
  CHECK(now.at(1)[1] == "moved/bench 6.jpg");
  CHECK(now.at(1)[4] == "2026-04-06T09:00:00");
}
