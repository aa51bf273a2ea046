// SPDX-License-Identifier: Apache-2.0
#include "calibration/hand_counts.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "calibration/hand_count_row.h"
#include "calibration/limits.h"

namespace braird {
namespace {

constexpr int kMostSeeds = 100000000;     // keeps sums inside an int's and a double's exact range
constexpr int kMostInReplicate = 100000;  // a laboratory's have 100; likelihoods go seed by seed

// Lots in order of appearance.
struct Lots {
  std::vector<Lot> lots;
  std::map<std::string, std::size_t> place_of;

  Lot& named(const std::string& name) {
    const auto [known, fresh] = place_of.try_emplace(name, lots.size());
    if (fresh) lots.emplace_back().name = name;
    return lots[known->second];
  }
};

struct PlacedCell {
  int row = 0, col = 0;
  CellCount cell;
};

struct CountedTray {
  std::string lot, name;
  std::vector<PlacedCell> cells;
  std::map<std::pair<int, int>, int> line_of;
};

// One reader for each kind of table: takes rows, then hands the lots over.
struct CellTable {
  HandCountOptions options;
  std::vector<CountedTray> trays;
  std::map<std::pair<std::string, std::string>, std::size_t> place_of;  // by lot and tray
  bool seeds_known = true;

  CountedTray& tray(const std::string& lot, const std::string& name) {
    const auto [known, fresh] = place_of.try_emplace({lot, name}, trays.size());
    if (fresh) trays.push_back({lot, name, {}, {}});
    return trays[known->second];
  }

  void take(const HandCountRow& row) {
    PlacedCell cell{
        row.whole("row", kMostRows), row.whole("col", kMostRows), {row.whole("count", kMostSeedlings), 1}};
    if (row.columns.contains("seeds"))
      cell.cell.seeds = row.whole("seeds", kMostSeedlings);
    else if (options.seeds)
      cell.cell.seeds = *options.seeds;
    else
      seeds_known = false;
    if (cell.cell.seeds == 0 && cell.cell.seedlings > 0) throw BadRow("count is not 0, but no seed was sown");
    CountedTray& of = tray(row.name("lot"), row.name("tray"));
    const auto [known, fresh] = of.line_of.try_emplace({cell.row, cell.col}, row.csv.line);
    if (!fresh)
      throw BadRow(fmt::format("row {}, col {} of tray {} was counted in line {} already", cell.row, cell.col,
                               of.name, known->second));
    of.cells.push_back(cell);
  }

  TrayMap map_of(const CountedTray& tray) const {
    int last_row = 0, last_col = 0, first = 1;
    for (const PlacedCell& cell : tray.cells) {
      last_row = std::max(last_row, cell.row);
      last_col = std::max(last_col, cell.col);
      if (cell.row == 0 || cell.col == 0) first = 0;
    }
    TrayMap map;
    map.name = tray.name;
    map.layout = {last_row - first + 1, last_col - first + 1, options.lattice};
    map.first_number = first;
    map.cells.resize(number_of_cells(map.layout));
    for (const PlacedCell& cell : tray.cells)
      map.cells[cell_index(map.layout, cell.row - first, cell.col - first)] = cell.cell;
    return map;
  }

  std::vector<Lot> finish() const {
    Lots lots;
    for (const CountedTray& counted : trays) {
      Lot& lot = lots.named(counted.lot);
      lot.seeds_known = seeds_known;
      const TrayMap map = lot.trays.emplace_back(map_of(counted));
      lot.readings.push_back(cell_readings(map.cells, options.seed));
      const std::size_t missing = map.cells.size() - counted.cells.size();
      if (missing > 0)
        lot.remarks.push_back(fmt::format("Tray {}: {} of {} x {} cells have no row and were left out.",
                                          counted.name, missing, map.layout.rows, map.layout.cols));
    }
    return std::move(lots.lots);
  }
};

struct ReplicateTable {
  HandCountOptions options;
  Lots lots;

  void take(const HandCountRow& row) {
    const CellCount replicate{row.whole("germinated", kMostInReplicate), row.whole("sown", kMostInReplicate)};
    if (replicate.seeds == 0) throw BadRow("sown is 0, but must be > 0");
    if (replicate.seedlings > replicate.seeds && options.seed == SeedKind::single)
      throw BadRow(
          fmt::format("{} germinated, more than the {} sown (for seed clusters name the crop: --crop beet)",
                      replicate.seedlings, replicate.seeds));
    lots.named(row.name("lot")).replicates.push_back(replicate);
  }
  std::vector<Lot> finish() { return std::move(lots.lots); }
};

struct DayTable {
  HandCountOptions options;
  Lots lots;
  std::set<std::string> given_up;  // after a bad row a lot's later totals mean nothing

  void take(const HandCountRow& row) {
    const std::string& name = row.name("lot");
    const bool hopeless = !given_up.insert(name).second;
    const double day = row.time("day"), germinated = row.whole("germinated", kMostSeeds);
    if (hopeless) return;
    add(lots.named(name), day, germinated);
    given_up.erase(name);
  }

  void add(Lot& lot, double day, double germinated) const {
    if (!lot.course) lot.course = Inspections{*options.sown, {}, {}};
    Inspections& seen = *lot.course;
    const double before = seen.came_up.empty() ? 0 : seen.came_up.back();
    const double up = options.daily == DailyCounts::newly_up ? before + germinated : germinated;
    if (day == 0 && up == 0) return;  // the day of sowing
    if (day <= (seen.times.empty() ? 0 : seen.times.back()))
      throw BadRow(fmt::format("day {} does not come after the one before it", day));
    if (up < before) throw BadRow(fmt::format("{} germinated in all, fewer than the {} before", up, before));
    if (up > seen.sown)
      throw BadRow(fmt::format(
          "{} germinated in all, more than the {} sown{}", up, seen.sown,
          options.daily == DailyCounts::newly_up ? " (if the counts are totals, say --cumulative)" : ""));
    seen.times.push_back(day);
    lot.last_day = day;
    seen.came_up.push_back(up);
  }
  std::vector<Lot> finish() {
    for (const Lot& lot : lots.lots)
      if (lot.course->times.empty())
        throw BadRow(fmt::format("lot {} was never inspected after sowing", lot.name));
    return std::move(lots.lots);
  }
};

bool has(const CountColumns& columns, std::initializer_list<const char*> names) {
  return std::ranges::all_of(names, [&](const char* name) { return columns.contains(name); });
}

template <typename Table>
std::vector<Lot> read_rows(Table table, const std::vector<CsvRow>& rows, const std::string& file,
                           SeedKind seed) {
  if (rows.size() < 2) throw std::invalid_argument(file + ": holds no counts");
  take_rows(rows, file, [&](const HandCountRow& row) { table.take(row); });
  try {
    auto lots = table.finish();
    for (Lot& lot : lots) lot.seed = seed;
    return lots;
  } catch (const std::invalid_argument& why) {
    throw std::invalid_argument(file + ": " + why.what());
  }
}

}  // namespace

std::vector<Lot> read_hand_counts(std::istream& in, const std::string& file,
                                  const HandCountOptions& options) {
  const auto rows = read_csv(in, file);
  if (rows.empty()) throw std::invalid_argument(file + ": holds no counts");
  const CountColumns columns = columns_of(rows[0]);
  if (has(columns, {"lot", "tray", "row", "col", "count"}))
    return read_rows(CellTable{options, {}, {}}, rows, file, options.seed);
  if (has(columns, {"lot", "sown", "germinated"}))
    return read_rows(ReplicateTable{options, {}}, rows, file, options.seed);
  if (!has(columns, {"lot", "day", "germinated"}))
    throw std::invalid_argument(file + ", line " + std::to_string(rows[0].line) +
                                ": the first line must name the columns: lot,tray,row,col,count or "
                                "lot,sown,germinated or lot,day,germinated");
  if (!options.sown) throw std::invalid_argument(file + ": say how many seeds each lot had: --sown N");
  return read_rows(DayTable{options, {}, {}}, rows, file, options.seed);
}

}  // namespace braird
