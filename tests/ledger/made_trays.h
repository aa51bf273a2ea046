// SPDX-License-Identifier: Apache-2.0
// Trays and censuses built from their answer, and a folder for ledgers that goes when done.
#pragma once

#include <filesystem>
#include <random>
#include <string>

#include "calibration/census.h"

namespace braird::test {

/// A fresh folder, removed with all it holds at the end of its scope.
struct LedgerFolder {
  std::filesystem::path path;
  LedgerFolder();
  ~LedgerFolder();
  LedgerFolder(const LedgerFolder&) = delete;
  LedgerFolder& operator=(const LedgerFolder&) = delete;
  std::filesystem::path file(const std::string& name = "season.braird") const { return path / name; }
};

/// What stands in a tray, whichever photo shows it: when each cell comes up and where in the cell.
struct GrownTray {
  Layout layout;
  std::vector<double> comes_up;  ///< day; over 100: never
  std::vector<Point> places;
};

struct Growing {
  Layout layout{8, 16, LatticeKind::square};
  double rate = 0.85;  ///< share of cells that come up
  double mean_day = 6;
  double day_spread = 1;
  double place_spread = 0.12;  ///< of a cell
};

GrownTray grown(const Growing& how, std::mt19937& random);

struct Seeing {
  double miss = 0.02;         ///< chance that a cell is read wrong
  double place_error = 0.03;  ///< of a cell
};

/// The tray as a photo on that day shows it, one seed a cell.
Tray seen_on(const GrownTray& grown, double day, const Seeing& how, std::mt19937& random);

/// A tray of certain counts, one seed a cell: the first `up` of its cells hold one seedling.
Tray sure_tray(const Layout& layout, int up);

/// A census of such trays. `taken` may be empty.
Census census_of(std::vector<Tray> trays, const std::string& file, const std::string& taken = "");

/// A file's bytes.
std::string content_of(const std::filesystem::path& file);

/// Sixteen bytes that no other name has.
std::string hash_of(const std::string& name);

}  // namespace braird::test
