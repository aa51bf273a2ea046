// SPDX-License-Identifier: Apache-2.0
#include "cli/commands/transfer.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <algorithm>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "calibration/csv.h"
#include "calibration/figure_words.h"
#include "calibration/ledger/lot_summary.h"
#include "calibration/ledger/transfer.h"
#include "cli/ledger_place.h"
#include "cli/text/csv_text.h"
#include "cli/text/help.h"
#include "cli/whole_file.h"

namespace braird::cli {
namespace {

namespace fs = std::filesystem;
using ledger::TableFolder;
using ledger::TextTable;

TextTable table_from(const fs::path& file) {
  std::istringstream in(read_text(file));
  TextTable table;
  for (CsvRow& row : read_csv(in, file.string())) table.push_back(std::move(row.fields));
  return table;
}

/// The tables that a folder or a file holds.
std::vector<fs::path> tables_in(const fs::path& place) {
  std::error_code unused;
  if (!fs::exists(place, unused))
    throw std::runtime_error(place.string() + ": no such file or folder; check the name");
  if (!fs::is_directory(place, unused)) return {place};
  std::vector<fs::path> files;
  for (const std::string& name : ledger::table_names())
    if (fs::exists(place / (name + ".csv"), unused)) files.push_back(place / (name + ".csv"));
  if (files.empty())
    throw std::invalid_argument(place.string() + ": holds no table of a ledger, such as lots.csv");
  return files;
}

/// All tables told, those of one folder together.
std::vector<TableFolder> folders_in(const std::vector<fs::path>& places) {
  std::vector<TableFolder> folders;
  for (const fs::path& place : places)
    for (const fs::path& file : tables_in(place)) {
      const std::string name = file.stem().string();
      if (std::ranges::count(ledger::table_names(), name) == 0)
        throw std::invalid_argument(fmt::format("{}: must be called after its table: {}.csv", file.string(),
                                                fmt::join(ledger::table_names(), ".csv, ")));
      const fs::path folder = fs::absolute(file).lexically_normal().parent_path();
      auto known = std::ranges::find(folders, folder, &TableFolder::folder);
      if (known == folders.end()) known = folders.insert(known, {folder, {}});
      known->tables[name] = table_from(file);
    }
  return folders;
}

bool holds_export(const fs::path& folder) {
  const ledger::Ledger empty(ledger::kInMemory, ledger::Access::write);
  return std::ranges::all_of(ledger::table_names(), [&](const std::string& name) {
    std::ifstream table(folder / (name + ".csv"));
    std::string first;
    return std::getline(table, first) && first + '\n' == csv_line(ledger::export_table(empty, name).front());
  });
}

/// Tables typed by hand carry these names too.
void require_free(const fs::path& folder) {
  std::error_code unused;
  for (const std::string& name : ledger::table_names())
    if (const fs::path file = folder / (name + ".csv"); fs::exists(file, unused) && !holds_export(folder))
      throw std::invalid_argument(file.string() +
                                  ": is there already, and not from an earlier export; name another folder");
}

/// A table is there in full, or as it was before.
std::size_t write_table(const fs::path& folder, const ledger::Ledger& ledger, const std::string& name) {
  const TextTable table = ledger::export_table(ledger, name);
  std::string text;
  for (const auto& row : table) text += csv_line(row);
  write_whole_file(folder / (name + ".csv"), text);
  return table.size() - 1;
}

}  // namespace

CLI::App* add_export(CLI::App& app, TransferArguments& arguments) {
  CLI::App* command = app.add_subcommand("export", "Write the whole ledger as tables (CSV) into a folder");
  command->add_option("FOLDER", arguments.folder, "The folder; it is made if missing")->required();
  add_ledger_option(*command, arguments.ledger);
  set_help(*command, {"--ledger"}, "braird export season-2026");
  return command;
}

ExitCode run_export(const TransferArguments& arguments, const Console& console) {
  const ledger::Ledger ledger(ledger_place(arguments.ledger), ledger::Access::read);
  require_free(arguments.folder);
  std::error_code unused;
  fs::create_directories(arguments.folder, unused);
  ledger.file().run("BEGIN");  // one moment's view, whoever writes meanwhile
  const bool is_first = !holds_export(arguments.folder);
  std::vector<fs::path> written;
  try {
    for (const std::string& name : ledger::table_names()) {
      const std::size_t rows = write_table(arguments.folder, ledger, name);
      written.push_back(arguments.folder / (name + ".csv"));
      console.out << fmt::format("{}.csv: {}\n", name, counted(static_cast<double>(rows), "row", "rows"));
    }
  } catch (...) {
    // Part of an export would stand in the way of the next.
    if (is_first)
      for (const fs::path& table : written) fs::remove(table, unused);
    throw;
  }
  return ExitCode::ok;
}

CLI::App* add_import(CLI::App& app, TransferArguments& arguments) {
  CLI::App* command = app.add_subcommand("import", "Take tables (CSV) into the ledger");
  command->add_option("FILE", arguments.files, "Folders that braird export wrote, or tables such as lots.csv")
      ->required();
  add_ledger_option(*command, arguments.ledger);
  set_help(*command, {"--ledger"}, "braird import season-2026");
  return command;
}

ExitCode run_import(const TransferArguments& arguments, const Console& console) {
  const auto folders = folders_in(arguments.files);
  ledger::Ledger ledger(ledger_place(arguments.ledger), ledger::Access::write);
  for (const auto& [name, rows] : ledger::import_folders(ledger, folders))
    console.out << fmt::format("{}: {}\n", name, counted(static_cast<double>(rows), "row", "rows"));
  ledger::season(ledger, {});  // so that the first `lots` need not wait for the figures of all lots
  return ExitCode::ok;
}

}  // namespace braird::cli
