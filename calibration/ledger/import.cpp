// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <stdexcept>

#include "calibration/ledger/import_rows.h"
#include "calibration/ledger/transfer.h"

namespace braird::ledger {
namespace {

using Take = void (*)(Importing&, const Row&);

int take_in(Importing& into, const TextTable& table, const std::string& name, Take take) {
  if (table.empty()) refuse(name + " has no first row with the columns' names");
  std::map<std::string, std::size_t> columns;
  for (std::size_t at = 0; at < table[0].size(); ++at) columns[table[0][at]] = at;
  for (std::size_t at = 1; at < table.size(); ++at) try {
      take(into, Row{columns, table[at]});
    } catch (const std::invalid_argument& why) {
      refuse(fmt::format("{}, row {}: {}", name, at + 1, why.what()));
    }
  return static_cast<int>(table.size()) - 1;
}

Imported take_tables(const Database& file, const Tables& tables) {
  // Cells before the censuses that are packed from them.
  const std::pair<const char*, Take> order[] = {
      {"lots", take_lot},        {"sowings", take_sowing}, {"censuses", take_photo_of_tray},
      {"trays", take_tray},      {"photos", take_photo},   {"cells", take_cell},
      {"censuses", take_census}, {"checks", take_check},   {"decisions", take_decision}};
  Imported taken;
  Importing into{file};
  for (const auto& [name, take] : order)
    if (const auto table = tables.find(name); table != tables.end())
      taken[name] = take_in(into, table->second, name, take);
  if (!into.cells_of.empty())
    refuse(fmt::format(
        "cells: photo {}, number {} is not in censuses; cells are taken in with censuses and trays",
        into.cells_of.begin()->first.first, into.cells_of.begin()->first.second));
  for (const auto& [at, sowing_now] : into.left) clear_leftovers(file, at, sowing_now);
  if (file.single("PRAGMA foreign_key_check") != 0) refuse("the tables do not hold together");
  return taken;
}

}  // namespace

Imported import_tables(Ledger& ledger, const Tables& tables) {
  Imported taken;
  ledger.step("imported tables", [&] { taken = take_tables(ledger.file(), tables); });
  return taken;
}

Imported import_folders(Ledger& ledger, const std::vector<TableFolder>& folders) {
  Imported taken;
  ledger.step("imported tables", [&] {
    for (const auto& [folder, tables] : folders) try {
        for (const auto& [name, rows] : take_tables(ledger.file(), tables)) taken[name] += rows;
      } catch (const std::invalid_argument& why) {
        refuse(fmt::format("{}: {}", folder.string(), why.what()));
      }
  });
  return taken;
}

}  // namespace braird::ledger
